"""Reviews, plans and lists of packs as lines for a terminal and as JSON."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from kbapp.app.crate import KnownKey, MadePack, PlanItem, ReadPack, ReadPlan, Removal, Review
from kbapp.commands.context import counted_cases
from kbapp.i18n import _
from kbapp.records.fault import shorten
from kbapp.wording import fault_sentence
from kbapp.wording.packs import pack_term
from kbapp.wording.terms import term


def _one_line(text: str) -> str:
    return " ".join(text.split())


def removal_line(removal: Removal) -> str:
    """Returns a removal in its place: ``…before [what goes → what stands there] after…``."""
    gone = _one_line(removal.text)
    change = f"{gone} → {removal.put}" if removal.put else gone
    mark = _(" (kept)") if removal.kept else ""
    kind = pack_term("removal", removal.kind)
    place = (
        f"…{_one_line(removal.before)} ⟦{change}⟧ {_one_line(removal.after)}…"
        if removal.before or removal.after
        else change
    )
    return f"  {removal.id}  {kind}{mark}  {removal.path}: {place}"


def review_lines(review: Review) -> Iterator[str]:
    """Yields every case that goes, every removal in its place, and the digest last."""
    by_case = {case_id: list(found) for case_id, found in groupby(review.removals, key=lambda one: one.case)}
    for case in review.cases:
        carried = _(" (sent before; goes along because of this)") if case.carried else ""
        yield f"{case.number}  {term('state', case.state)}{carried}: {case.concern}"
        yield from map(removal_line, by_case.pop(case.id, ()))
    for name, found in by_case.items():
        yield name
        yield from map(removal_line, found)
    counts: dict[str, int] = {}
    for removal in review.removals:
        counts[removal.kind] = counts.get(removal.kind, 0) + 1
    yield _("{cases}, {files} files, {size} bytes.").format(
        cases=counted_cases(len(review.cases)), files=review.files, size=review.size
    )
    yield _("Removed: {counts}").format(
        counts=", ".join(f"{pack_term('removal', kind)} {count}" for kind, count in sorted(counts.items()))
        or _("nothing")
    )
    yield _("To write exactly this: --accept {digest}").format(digest=review.digest)


def review_json(review: Review) -> dict[str, Any]:
    """Returns a review as JSON values."""
    return {
        "digest": review.digest,
        "cases": [
            {"id": one.id, "number": one.number, "state": one.state, "concern": one.concern, "carried": one.carried}
            for one in review.cases
        ],
        "removals": [
            {"id": one.id, "case": one.case, "path": one.path, "kind": one.kind, "text": one.text, "put": one.put,
             "before": one.before, "after": one.after, "kept": one.kept, "forced": one.forced}
            for one in review.removals
        ],
        "maps": list(review.maps), "files": review.files, "size": review.size, "fingerprint": review.fingerprint,
    }  # fmt: skip


def _item_line(item: PlanItem) -> str:
    reason = f" ({pack_term('reason', item.reason)})" if item.reason else ""
    notes = "".join(f"; {pack_term('note', note)}" for note in item.notes)
    name = item.number or item.case_id[:8]
    return f"  {pack_term('verdict', item.verdict)}{reason}  {name}  {shorten(item.shop, 40)}: {item.concern}{notes}"


def plan_lines(plan: ReadPlan) -> Iterator[str]:
    """Yields who signed, each case with what it would be, and the counts last."""
    shop = shorten(plan.trust.shop or plan.trust.shop_id, 80)
    yield pack_term("trust", plan.trust.state).format(shop=shop)
    yield _("{shop}, fingerprint {fingerprint}").format(shop=shop, fingerprint=plan.trust.fingerprint)
    if plan.title:
        yield shorten(plan.title, 200)
    for item in plan.items:
        yield _item_line(item)
        yield from (f"      {fault_sentence(fault)}" for fault in item.faults)
    yield from (f"  {fault_sentence(fault)}" for fault in plan.map_faults)
    if plan.maps:
        yield _("Section maps offered: {maps}").format(maps=", ".join(plan.maps))
    verdicts = ("new", "revised", "clash", "here", "refused")
    yield ", ".join(f"{pack_term('verdict', verdict)} {plan.count(verdict)}" for verdict in verdicts)


def plan_json(plan: ReadPlan) -> dict[str, Any]:
    """Returns a plan as JSON values."""
    trust = plan.trust
    return {
        "pack": plan.pack_id, "file": plan.file, "title": plan.title, "size": plan.size,
        "trust": {"state": trust.state, "fingerprint": trust.fingerprint, "shop": trust.shop, "shop_id": trust.shop_id,
                  "others": list(trust.others)},
        "cases": [
            {"id": one.case_id, "number": one.number, "verdict": one.verdict, "reason": one.reason, "state": one.state,
             "shop": one.shop, "concern": one.concern, "notes": list(one.notes),
             "faults": [{**fault.as_dict(), "sentence": fault_sentence(fault)} for fault in one.faults]}
            for one in plan.items
        ],
        "counts": {verdict: plan.count(verdict) for verdict in ("new", "revised", "clash", "here", "refused")},
        "maps": list(plan.maps),
        "map_faults": [{**fault.as_dict(), "sentence": fault_sentence(fault)} for fault in plan.map_faults],
    }  # fmt: skip


def list_lines(made: Sequence[MadePack], read: Sequence[ReadPack], keys: Sequence[KnownKey]) -> Iterator[str]:
    """Yields packs made, packs read and keys known, a line each."""
    for sent in made:
        yield _("made {at}  {pack}  {cases}  {file}").format(
            at=sent.at[:10], pack=sent.pack_id[:12], cases=counted_cases(len(sent.cases)), file=sent.file
        )
    for came in read:
        undone = _(" (undone)") if came.undone else ""
        yield _("read {at}  {pack}  {cases}  {shop}{undone}").format(
            at=came.at[:10], pack=came.pack_id[:12], cases=counted_cases(len(came.cases)), shop=came.shop, undone=undone
        )
    for key in keys:
        yield _("key {state}  {fingerprint}  {shop}").format(
            state=key.state, fingerprint=key.fingerprint, shop=key.shop
        )


def list_json(made: Sequence[MadePack], read: Sequence[ReadPack], keys: Sequence[KnownKey]) -> dict[str, Any]:
    """Returns the same as JSON values."""
    return {
        "made": [
            {"pack": one.pack_id, "at": one.at, "by": one.by, "title": one.title, "file": one.file,
             "cases": len(one.cases)}
            for one in made
        ],
        "read": [
            {"pack": one.pack_id, "at": one.at, "by": one.by, "title": one.title, "file": one.file, "shop": one.shop,
             "fingerprint": one.fingerprint, "batch": one.batch, "undone": one.undone, "cases": len(one.cases)}
            for one in read
        ],
        "keys": [{"fingerprint": one.fingerprint, "state": one.state, "shop": one.shop} for one in keys],
    }  # fmt: skip
