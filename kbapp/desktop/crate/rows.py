"""What the lists of the Case Crate show, as plain rows."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from kbapp.desktop.paint.stamp import Stamp, state_stamp
from kbapp.i18n import _
from kbapp.wording import fault_sentence
from kbapp.wording.bench import vehicle_first
from kbapp.wording.crate import (
    cases_words,
    key_state_words,
    place_words,
    removals_words,
    value_words,
    verdict_remark,
)
from kbapp.wording.packs import pack_term
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.crate import Clash, KnownKey, MadePack, PlanItem, ReadPack, ReadPlan, Removal, Review
    from kbapp.app.views import CaseRow

VERDICTS: Final = ("new", "revised", "clash", "refused", "here")
"""In the order a person has to look at them."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A removal in its place: what stands before, what goes, what is put there, what stands after."""

    before: str
    text: str
    put: str
    after: str
    kept: bool


@dataclass(frozen=True, slots=True)
class Row:
    """A line, or (``head``) the head of a group. ``tick``: ticked or not, None where there is nothing to tick.

    ``cut`` is written instead of the title; ``sides`` are written side by side below it.
    """

    key: str
    title: str
    remark: str = ""
    head: bool = False
    tick: bool | None = None
    mark: Stamp | None = None
    number: str = ""
    cut: Cut | None = None
    sides: tuple[str, str] | None = None
    spoken: str = ""

    def speak(self) -> str:
        """Returns the line read aloud."""
        mark = self.mark.word if self.mark else ""
        ticked = {None: "", True: _("ticked"), False: _("not ticked")}[self.tick]
        return ". ".join(filter(None, (self.number, self.spoken or self.title, self.remark, mark, ticked)))


def _head(title: str, remark: str) -> Row:
    return Row("", title, remark, head=True)


def case_rows(rows: Sequence["CaseRow"], goes: Callable[[str], bool]) -> tuple[Row, ...]:
    """Returns the cases one may tick."""
    return tuple(
        Row(
            row.id, " ".join(row.concern.split()), vehicle_first(row), tick=goes(row.id),
            mark=state_stamp(row.state, signed_here=row.signed_here), number=row.number.rpartition("-")[2][-4:],
            spoken=f"{row.number}. {' '.join(row.concern.split())}. {term('state', row.state)}",
        )
        for row in rows
    )  # fmt: skip


def _line(text: str) -> str:
    return " ".join(text.split())


def torn_line(text: str) -> str:
    """Returns a piece of running text on one line, with a space where it is torn off at one."""
    line = " ".join(text.split())
    return (" " if text[:1].isspace() else "") + line + (" " if text[-1:].isspace() else "")


def _removal_mark(removal: "Removal", *, kept: bool) -> Stamp:
    if removal.forced:
        return Stamp(_("Always goes"), "ink2", "dashed", "x")
    if kept:
        return Stamp(_("Kept"), "caution", "single", "guard")
    return Stamp(_("Goes"), "good", "single", "tick")


def _removal_row(removal: "Removal", number: str, *, kept: bool) -> Row:
    kind = pack_term("removal", removal.kind)
    put = _line(removal.put) or _("nothing")
    template = (
        _("{kind}, kept: {before}«{text}»{after}") if kept else _("{kind}: {before}«{text}»{after}, becomes «{put}»")
    )
    spoken = template.format(
        kind=kind, before=torn_line(removal.before), text=_line(removal.text), put=put, after=torn_line(removal.after)
    )
    where = place_words(removal.path)
    return Row(
        removal.id, kind, _("Case {number}, {where}").format(number=number, where=where) if number else where,
        tick=None if removal.forced else not kept, mark=_removal_mark(removal, kept=kept),
        cut=Cut(removal.before, _line(removal.text), put, removal.after, kept), spoken=spoken,
    )  # fmt: skip


def review_rows(review: "Review", kept: frozenset[str]) -> tuple[Row, ...]:
    """Returns every removal, by kind, the kind with its count above it; cases nobody chose come first."""
    numbers = {case.id: case.number for case in review.cases}
    out: list[Row] = []
    carried = [case for case in review.cases if case.carried]
    if carried:
        out.append(_head(_("Goes along"), _("sent before, came back or was withdrawn since")))
        out += [
            Row(case.id, case.concern, _("Case {number}").format(number=case.number), mark=None) for case in carried
        ]
    groups: dict[str, list[Removal]] = {}
    for removal in review.removals:
        groups.setdefault(removal.kind, []).append(removal)
    for kind, found in groups.items():
        stay = sum(one.id in kept for one in found)
        out.append(_head(pack_term("removal", kind), removals_words(len(found), stay)))
        out += [_removal_row(one, numbers.get(one.case, ""), kept=one.id in kept) for one in found]
    return tuple(out)


_PLAN_MARKS: Final = {
    "new": ("good", "plus"), "revised": ("accent", "redo"), "clash": ("danger", "compare"), "here": ("ink2", "tick"),
    "refused": ("danger", "unable"),
}  # fmt: skip


def _plan_row(item: "PlanItem", taken: int) -> Row:
    role, icon = _PLAN_MARKS[item.verdict]
    facts = [item.shop, pack_term("reason", item.reason) if item.reason else ""]
    facts += [pack_term("note", note) for note in item.notes]
    facts += [fault_sentence(fault) for fault in item.faults[:3]]
    if taken:
        facts.append(_("{n} fields taken from the pack").format(n=taken))
    return Row(
        item.case_id, item.concern or item.case_id, " · ".join(filter(None, facts)),
        mark=Stamp(pack_term("verdict", item.verdict), role, "single", icon),  # type: ignore[arg-type]
        number=item.number.rpartition("-")[2][-4:],
        spoken=_("Case {number}: {concern}").format(number=item.number or item.case_id[:8], concern=item.concern),
    )  # fmt: skip


def plan_rows(plan: "ReadPlan", choices: Mapping[str, frozenset[str]]) -> tuple[Row, ...]:
    """Returns what reading would do, by verdict."""
    out: list[Row] = []
    for verdict in VERDICTS:
        found = [item for item in plan.items if item.verdict == verdict]
        if found:
            out.append(_head(pack_term("verdict", verdict), verdict_remark(verdict, len(found))))
            out += [_plan_row(item, len(choices.get(item.case_id, ()))) for item in found]
    if plan.maps or plan.map_faults:
        out.append(_head(_("Section maps"), _("offered, never used by themselves")))
        out += [Row(name, name, spoken=_("Section map {name}").format(name=name)) for name in plan.maps]
        out += [Row("", fault_sentence(fault)) for fault in plan.map_faults]
    return tuple(out)


def clash_rows(clash: "Clash", taken: frozenset[str]) -> tuple[Row, ...]:
    """Returns the fields that differ, both versions side by side."""
    out = []
    for field in clash.fields:
        mine, theirs = value_words(field.before), value_words(field.after)
        spoken = _("{field}. Here: {mine}. In the pack: {theirs}").format(
            field=place_words(field.path), mine=mine, theirs=theirs
        )
        out.append(
            Row(
                field.path,
                place_words(field.path),
                tick=field.path in taken,
                sides=(mine, theirs),
                spoken=spoken,
                mark=Stamp(_("Theirs"), "accent") if field.path in taken else Stamp(_("Yours"), "good"),
            )
        )
    return tuple(out)


def history_rows(made: Iterable["MadePack"], read: Iterable["ReadPack"], keys: Sequence["KnownKey"]) -> tuple[Row, ...]:
    """Returns packs read, packs made and keys known, the newest first. Keys: ``read:…``, ``made:…``, ``key:…``."""
    out: list[Row] = []
    came, sent = list(reversed(list(read))), list(reversed(list(made)))
    if came:
        out.append(_head(_("Packs read"), _("each can be undone as one")))
    for pack in came:
        undone = Stamp(_("Undone"), "ink3", "dashed", "undo") if pack.undone else None
        facts = (pack.at[:10], pack.by, cases_words(len(pack.cases)), pack.file)
        out.append(
            Row(
                f"read:{pack.batch or pack.pack_id}", _("{shop}: {title}").format(
                    shop=pack.shop, title=pack.title or pack.file), " · ".join(filter(None, facts)), mark=undone,
            )
        )  # fmt: skip
    if sent:
        out.append(_head(_("Packs made"), _("what left this book")))
    for one in sent:
        sent_facts = (one.at[:10], one.by, cases_words(len(one.cases)), one.file, one.pack_id[:12])
        out.append(Row(f"made:{one.pack_id}", one.title or one.file, " · ".join(filter(None, sent_facts))))
    if keys:
        out.append(_head(_("Keys known"), _("of other shops")))
    for key in keys:
        role = {"trusted": "good", "seen": "ink2", "revoked": "danger"}[key.state]
        mark = Stamp(key_state_words(key.state), role)  # type: ignore[arg-type]
        out.append(Row(f"key:{key.fingerprint}", key.shop or _("A shop not met yet"), key.fingerprint, mark=mark))
    return tuple(out)
