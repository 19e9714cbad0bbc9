"""Reads packs: proves, plans, takes in as one batch, and undoes as one."""

import json
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from kbapp.app.pack_history import Came, PackHistory, ReadPack, find_read, record_read
from kbapp.app.pack_making import MAP_SHELF, silent
from kbapp.app.pack_trust import KeyRing, Trust
from kbapp.errors import InputError
from kbapp.packs import bag
from kbapp.packs.archive import Archive, open_archive
from kbapp.packs.clash import clash_fields, settle
from kbapp.packs.contents import ReadEntry, check_files, read_entries, read_entry, read_maps
from kbapp.packs.faults import PackFaults
from kbapp.packs.limits import LIMITS, Limits
from kbapp.packs.notes import notes_of
from kbapp.packs.plan import Here, PlanItem, judge
from kbapp.packs.verifying import Bag, Progress, read_payload, verify
from kbapp.records.case import Case
from kbapp.records.case_document import digest
from kbapp.records.fault import Fault, shorten
from kbapp.records.map_document import canonical_map, map_digest
from kbapp.records.merge import Difference
from kbapp.records.section_map import SectionMap
from kbapp.store.book import Book
from kbapp.store.values import Incoming, ManyIncoming, StoredCase, Undone

OFFERED_MAP: Final = "offered_map"
"""The kind under which maps of other shops lie on the shelf until the shop takes them for its own."""
_AT_ONCE: Final = 200


@dataclass(frozen=True, slots=True)
class ReadPlan:
    """What reading a pack would do; nothing is written yet. ``map_faults``: maps that cannot be taken, and why."""

    pack_id: str
    file: str
    title: str
    trust: Trust
    items: tuple[PlanItem, ...]
    maps: tuple[str, ...]
    map_faults: tuple[Fault, ...]
    size: int

    def count(self, verdict: str) -> int:
        """Returns how many cases got a verdict."""
        return sum(item.verdict == verdict for item in self.items)


@dataclass(frozen=True, slots=True)
class Clash:
    """Two versions of one case: the fields that differ, as ``before`` (here) and ``after`` (in the pack)."""

    mine: Case
    theirs: Case
    fields: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class ReadDone:
    """What reading a pack came to. ``batch`` is what ``undo`` takes, empty where no case was added."""

    plan: ReadPlan
    batch: str
    change: int
    cases: tuple[str, ...]
    maps: tuple[str, ...]


Choices = Mapping[str, Collection[str]]
"""By case id, the fields of a clash to take from the pack; a clash that is not named stays as it is here."""


class PackReading:
    """Packs on their way into a book."""

    def __init__(self, book: Book, author: str, own_fingerprint: str, limits: Limits = LIMITS) -> None:
        self._book, self._author, self._own, self._limits = book, author, own_fingerprint, limits
        self._ring = KeyRing(book, author)

    def plan(self, path: Path, progress: Progress = silent) -> ReadPlan:
        """Returns what reading would do.

        Raises:
            PackFaults: the pack is damaged or altered; every fault is carried.
            InputError: ``pack_newer``.
            EnvironmentFault: ``file_not_read``.
        """
        with self._opened(path, progress) as (archive, found):
            return self._plan(archive, found, path, progress)

    def clash(self, path: Path, case_id: str) -> Clash:
        """Returns both versions of a case that clashes.

        Raises:
            InputError: ``clash_unknown``, the pack has no such case, or the book none.
        """
        with self._opened(path, silent) as (archive, found):
            place = bag.case_path(case_id)
            entry = read_entry(archive, found, place) if place in found.digests else ReadEntry(case_id)
        here = self._book.cases([case_id])
        if entry.case is None or not here:
            raise InputError("clash_unknown", reference=case_id)
        return Clash(here[0].case, entry.case, clash_fields(here[0].case, entry.case))

    def read(self, path: Path, choices: Choices | None = None, progress: Progress = silent) -> ReadDone:
        """Reads a pack: all that its plan calls new or revised, and what was chosen of clashes, or nothing at all.

        Raises:
            InputError: ``pack_into_practice``; ``pack_key_revoked``, ``pack_key_changed``; ``clash_unknown``,
                ``clash_field_unknown``; or the book moved on meanwhile. As ``plan`` otherwise.
        """
        if self._book.info.practice:
            raise InputError("pack_into_practice")
        with self._opened(path, progress) as (archive, found):
            plan = self._plan(archive, found, path, progress)
            _refuse_untrusted(plan.trust)
            return self._take(archive, found, plan, choices or {}, progress)

    def undo(self, reference: str) -> tuple[ReadPack, Undone | None]:
        """Takes back what reading a pack brought, maps included, except what was touched since.

        Raises:
            InputError: ``pack_unknown`` or ``batch_undone``.
        """
        packs = find_read(PackHistory(self._book).read, reference)
        if not packs:
            raise InputError("pack_unknown", reference=reference)
        pack = next((one for one in packs if not one.undone), None)
        if pack is None:
            raise InputError("batch_undone", at=packs[0].at)
        undone = self._book.undo_batch(pack.batch, self._author) if pack.batch else None
        for name in pack.maps:
            self._book.put_shelved(OFFERED_MAP, name, "", self._author)
        record_read(self._book, self._author, replace(pack, undone=True))
        return pack, undone

    @contextmanager
    def _opened(self, path: Path, progress: Progress) -> Iterator[tuple[Archive, Bag]]:
        with open_archive(path, self._limits) as archive:
            yield archive, verify(archive, path.name, progress)

    def _plan(self, archive: Archive, found: Bag, path: Path, progress: Progress) -> ReadPlan:
        trust = self._ring.judge(found.signer, self._own)
        history = PackHistory(self._book)
        items: list[PlanItem] = []
        files: set[str] = set()
        step: list[ReadEntry] = []
        count = len(found.paths(bag.CASES))
        for done, entry in enumerate(read_entries(archive, found), 1):
            if entry.case:
                files |= {attachment.sha256 for attachment in entry.case.attachments}
            step.append(entry)
            if len(step) == _AT_ONCE or done == count:
                progress(done, count)
                items += self._items(step, history, trust)
                step.clear()
        if all(item.verdict != "refused" for item in items):  # a case that cannot be read may name any file
            check_files(found, files)
        maps, map_faults = read_maps(archive, found)
        return ReadPlan(
            found.pack_id, path.name, found.info.title, trust, tuple(items), tuple(one.id for one in maps), map_faults,
            found.info.size,
        )  # fmt: skip

    def _items(self, entries: list[ReadEntry], history: PackHistory, trust: Trust) -> Iterator[PlanItem]:
        here = {one.case.id: one for one in self._book.cases([entry.case_id for entry in entries])}
        for entry in entries:
            if entry.case is None or entry.lineage is None:
                yield PlanItem(
                    entry.case_id, "refused", "newer_format" if entry.newer else "faults", faults=entry.faults
                )
            else:
                yield self._item(entry, entry.case, here.get(entry.case_id), history, trust)

    def _item(
        self, entry: ReadEntry, case: Case, stored: StoredCase | None, history: PackHistory, trust: Trust
    ) -> PlanItem:
        vouched = trust.state in ("own", "trusted") or trust.fingerprint in history.brought_by(case.id)
        assert entry.lineage is not None
        verdict, reason = judge(entry.lineage, self._here(stored, history) if stored else None, vouched=vouched)
        return PlanItem(
            case.id, verdict, reason, case.number, shorten(" ".join(case.concern.text.split()), 120),
            (case.shop.name or case.shop.id) if case.shop else "", case.state, notes_of(case), (),
            stored.revision if stored else None, entry.lineage.digest, entry.lineage.parents,
            tuple(attachment.sha256 for attachment in case.attachments),
        )  # fmt: skip

    def _here(self, stored: StoredCase, history: PackHistory) -> Here:
        case_id, own = stored.case.id, stored.origin != "outside"
        sent = next((one.digest for one in reversed(history.sent(case_id)) if one.revision == stored.revision), "")
        known = set(history.known(case_id))
        if not own:
            known |= self._chain(case_id, stored.revision)
        return Here(stored.revision, digest(stored.case), known, own, sent)

    def _chain(self, case_id: str, head: int) -> set[str]:
        """Returns the digests of the revisions that the one in view was made from."""
        revisions = {one.revision: one for one in self._book.revisions(case_id)}
        out: set[str] = set()
        at = revisions.get(head)
        while at is not None:
            out.add(at.digest)
            at = revisions.get(at.based_on) if at.based_on is not None else None
        return out

    def _take(self, archive: Archive, found: Bag, plan: ReadPlan, choices: Choices, progress: Progress) -> ReadDone:
        taken = _taken(plan, choices)
        came: dict[str, Came] = {}
        batch_id, change, cases = "", self._book.last_change(), tuple[str, ...]()
        if taken:
            # files first, named by their digest: one that no case comes to name is found by nobody
            for sha256 in dict.fromkeys(name for item in taken for name in item.files):
                self._book.files.put(read_payload(archive, found, bag.file_path(sha256)))
            batch = self._book.add_many(
                _Incoming(self._book, archive, found, taken, choices),
                origin="outside", author=self._author, title=f"pack {plan.pack_id[:12]}", progress=progress,
            )  # fmt: skip
            came = {item.case_id: Came(item.digest, item.parents) for item in taken}
            batch_id, change, cases = batch.id, batch.last_change, batch.cases
        maps = self._offer(archive, found, plan)
        trust = plan.trust
        if taken or maps:
            record_read(
                self._book,
                self._author,
                ReadPack(
                    plan.pack_id, "", "", plan.title, plan.file, trust.shop, trust.shop_id, trust.fingerprint, batch_id,
                    undone=False, cases=came, maps=maps,
                ),
            )  # fmt: skip
        self._ring.note(trust)
        return ReadDone(plan, batch_id, change, cases, maps)

    def _offer(self, archive: Archive, found: Bag, plan: ReadPlan) -> tuple[str, ...]:
        """Shelves the maps that came along, unless the shop has the same, and returns their keys."""
        offered = []
        for section_map in read_maps(archive, found)[0]:
            name = map_digest(section_map)
            own = self._book.shelved(MAP_SHELF, section_map.id)
            if not (own and _same_map(own.document, section_map)) and not self._book.shelved(OFFERED_MAP, name):
                text = json.dumps(_offered(section_map, plan), ensure_ascii=False)
                self._book.put_shelved(OFFERED_MAP, name, text, self._author)
                offered.append(name)
        return tuple(offered)


def _offered(section_map: SectionMap, plan: ReadPlan) -> dict[str, object]:
    return {"map": section_map.plain(), "shop": plan.trust.shop, "shop_id": plan.trust.shop_id, "pack": plan.pack_id}


def _same_map(text: str, section_map: SectionMap) -> bool:
    return text.encode() == canonical_map(section_map) or json.loads(text) == section_map.plain()


def _refuse_untrusted(trust: Trust) -> None:
    if not trust.may_be_read:
        code = "pack_key_revoked" if trust.state == "revoked" else "pack_key_changed"
        raise InputError(code, shop=trust.shop or trust.shop_id, fingerprint=trust.fingerprint)


def _taken(plan: ReadPlan, choices: Choices) -> list[PlanItem]:
    clashes = {item.case_id for item in plan.items if item.verdict == "clash"}
    for case_id in choices:
        if case_id not in clashes:
            raise InputError("clash_unknown", reference=case_id)
    return [
        item
        for item in plan.items
        if item.verdict in ("new", "revised") or (item.verdict == "clash" and choices.get(item.case_id))
    ]


class _Incoming(ManyIncoming):
    """The cases of a pack on their way into the book, read anew each time they are asked for."""

    def __init__(self, book: Book, archive: Archive, found: Bag, taken: list[PlanItem], choices: Choices) -> None:
        self._book, self._archive, self._found, self._taken, self._choices = book, archive, found, taken, choices

    def each(self) -> Iterator[Incoming]:
        """Yields the cases in the order of the pack."""
        for item in self._taken:
            case = read_entry(self._archive, self._found, bag.case_path(item.case_id)).case
            if case is None:  # it was readable when the plan was made: the file is being changed under our hands
                raise PackFaults([Fault(bag.case_path(item.case_id), "pack_file_altered")])
            if item.verdict == "clash":
                case = settle(self._book.cases([item.case_id])[0].case, case, self._choices[item.case_id])
            yield Incoming(case, based_on=item.head)
