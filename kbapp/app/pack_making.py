"""Makes packs: selects, blanks, shows what goes, and writes exactly what was shown."""

import hashlib
import json
from collections.abc import Callable, Collection, Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final

from kbapp.app.pack_history import BAD_NEWS, PackHistory, Sent, forget_made, record_made
from kbapp.app.pack_trust import KeyRing
from kbapp.errors import EnvironmentFault, InputError
from kbapp.packs import bag
from kbapp.packs.blank.blanking import blank_case, blank_map
from kbapp.packs.blank.removal import Removal
from kbapp.packs.entry import ENTRY_FORMAT, PACK_FORMAT, Lineage, PackCase, Signer, document
from kbapp.packs.scanning import Sign, scan_pack
from kbapp.packs.spool import Spool
from kbapp.packs.writing import pack_id, tag_files, write_bag
from kbapp.records.base import clean_text
from kbapp.records.case_document import digest
from kbapp.records.fault import DocumentFaults
from kbapp.records.json_text import read_json
from kbapp.records.map_document import canonical_map, check_map, map_digest
from kbapp.records.private import PrivateDetails
from kbapp.records.section_map import SectionMap
from kbapp.store.atomic import atomic_file
from kbapp.store.book import Book
from kbapp.store.reading import CaseFilter, VehicleField
from kbapp.store.values import CaseRow, StoredCase

Progress = Callable[[int, int], None]

MAP_SHELF: Final = "map"
"""The kind under which a book shelves the maps a shop drew itself."""
_PLAN: Final = "provebook-pack-plan/1"
_AT_ONCE: Final = 200


def silent(_done: int, _of: int) -> None:
    """Shows no progress."""


@dataclass(frozen=True, slots=True)
class Selection:
    """Which cases go: those of ``wanted``, those of ``ids``, and every earlier sent one with bad news; not ``without``.

    ``wanted`` None: no filter; then the ids alone, or every case where there are none.
    """

    wanted: CaseFilter | None = None
    ids: tuple[str, ...] = ()
    without: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class ReviewCase:
    """One case that goes. ``carried``: nobody chose it; it was sent before and came back or was withdrawn since."""

    id: str
    number: str
    concern: str
    state: str
    carried: bool


@dataclass(frozen=True, slots=True)
class Review:
    """What a pack would hold, and everything taken out of it. ``digest`` names exactly this; ``size`` in bytes."""

    digest: str
    cases: tuple[ReviewCase, ...]
    removals: tuple[Removal, ...]
    maps: tuple[str, ...]
    files: int
    size: int
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Made:
    """A pack that was written, read back, proved and searched again."""

    pack_id: str
    path: Path
    cases: int
    files: int
    size: int
    fingerprint: str


class PackMaking:
    """One pack on its way out of a book. Give the same selection, title and kept removals to review and to write."""

    def __init__(self, book: Book, author: str, signer: Signer, fingerprint: str) -> None:
        if book.info.practice:
            raise InputError("pack_of_practice")
        self._book, self._author, self._signer, self._fingerprint = book, author, signer, fingerprint
        self._history = PackHistory(book)
        self._known = _known_names(book, author)

    def review(
        self, selection: Selection, title: str = "", kept: Collection[str] = (), progress: Progress = silent
    ) -> Review:
        """Returns what the pack would hold.

        Raises:
            InputError: ``pack_empty``, ``pack_over_limit``, or a case that cannot be found or blanked.
        """
        with Spool() as spool:
            return self._prepare(spool, selection, title, frozenset(kept), progress)[0]

    def write(
        self, out: Path, selection: Selection, accept: str, seed: bytes, title: str = "", kept: Collection[str] = (),
        progress: Progress = silent,
    ) -> Made:  # fmt: skip
        """Writes exactly the pack whose review has the digest ``accept``, and notes it in the book.

        Raises:
            InputError: ``pack_exists``; ``pack_plan_changed``, anything changed since the review;
                ``pack_still_holds``, the written file was found to hold something personal and was dropped.
            EnvironmentFault: ``pack_not_written``.
        """
        if out.exists():
            raise InputError("pack_exists", path=str(out))
        with Spool() as spool:
            review, sent = self._prepare(spool, selection, title, frozenset(kept), progress)
            if review.digest != accept.strip().lower():
                raise InputError("pack_plan_changed", found=review.digest)
            tags = tag_files(spool, self._signer, _title(title))
            name = pack_id(tags)
            try:
                self._put(out, spool, tags, seed, review, sent, title, progress)
            except OSError as error:
                raise EnvironmentFault("pack_not_written", path=str(out), why=error.strerror or str(error)) from None
            return Made(name, out, len(review.cases), review.files, out.stat().st_size, self._fingerprint)

    def _put(
        self, out: Path, spool: Spool, tags: dict[str, bytes], seed: bytes, review: Review, sent: dict[str, Sent],
        title: str, progress: Progress,
    ) -> None:  # fmt: skip
        kept: dict[str, set[Sign]] = {}
        for removal in review.removals:
            if removal.kept:
                kept.setdefault(removal.case, set()).add(removal.sign)
        name, noted = pack_id(tags), False
        try:
            with atomic_file(out) as file:
                write_bag(file, spool, tags, seed)
                file.flush()
                scan_pack(Path(file.name), self._records, lambda case_id: kept.get(case_id, ()), progress, self._known)
                # noted before the file takes its name: a crash between leaves a note too many, never a pack unknown
                record_made(self._book, self._author, name, _title(title), out.name, sent)
                noted = True
        except BaseException:
            if noted:
                with suppress(Exception):
                    forget_made(self._book, self._author, name)
            raise

    def _prepare(
        self, spool: Spool, selection: Selection, title: str, kept: frozenset[str], progress: Progress
    ) -> tuple[Review, dict[str, Sent]]:
        chosen, carried = self._chosen(selection)
        ids = sorted(chosen | carried)
        if not ids:
            raise InputError("pack_empty")
        cases, removals, sent, wanted_maps = [], list[Removal](), dict[str, Sent](), set[str]()
        for start in range(0, len(ids), _AT_ONCE):
            progress(start, len(ids))
            for stored in self._book.cases(ids[start : start + _AT_ONCE]):
                removals += self._add(spool, stored, kept, sent)
                case = stored.case
                concern = " ".join(case.concern.text.split())[:120]
                cases.append(ReviewCase(case.id, case.number, concern, case.state, case.id in carried))
                if case.map:
                    wanted_maps.add(case.map.id)
        maps = tuple(self._add_maps(spool, wanted_maps, kept, removals))
        files = sum(path.startswith(bag.FILES) for path in spool.digests)
        name = _plan_digest(spool, removals, self._signer, _title(title))
        return Review(name, tuple(cases), tuple(removals), maps, files, spool.size, self._fingerprint), sent

    def _chosen(self, selection: Selection) -> tuple[set[str], set[str]]:
        chosen = {self._book.find_id(reference) for reference in selection.ids}
        if selection.wanted is not None or not selection.ids:
            chosen |= {row.id for row in self._rows(selection.wanted or CaseFilter())}
        without = {self._book.find_id(reference) for reference in selection.without}
        sent = self._book.rows(self._history.everything_sent())
        carried = {row.id for row in sent if row.state in BAD_NEWS}
        return chosen - without, carried - chosen - without

    def _rows(self, wanted: CaseFilter) -> Iterator[CaseRow]:
        offset = 0
        while rows := self._book.list_cases(wanted, limit=1000, offset=offset):
            yield from rows
            offset += len(rows)

    def _add(
        self, spool: Spool, stored: StoredCase, kept: frozenset[str], sent: dict[str, Sent]
    ) -> tuple[Removal, ...]:
        case = stored.case
        blanked = blank_case(
            case, self._records(case.id), self._book.files.read, self._book.info.shop, kept, self._known
        )
        name = digest(blanked.case)
        lineage = Lineage(digest=name, parents=self._history.parents(case.id, name))
        entry = document(PackCase(format=ENTRY_FORMAT, case=blanked.case, lineage=lineage))
        unread = read_json(entry).faults
        if (
            unread
        ):  # a number too large for any strict reader, a document too long: better said now than by the other shop
            raise DocumentFaults(unread, case.number)
        spool.add(bag.case_path(case.id), entry)
        for file in blanked.files:
            spool.add(bag.file_path(file.sha256), file.data)
        sent[case.id] = Sent(name, stored.revision, case.state)
        return blanked.removals

    def _records(self, case_id: str) -> tuple[PrivateDetails, ...]:
        """Returns the private records of a case and of the other visits of its vehicle."""
        rows = self._book.rows([case_id])
        label = rows[0].vehicle_ref if rows else ""
        visits = self._book.list_cases(CaseFilter(vehicle_ref=label)) if label else rows
        records = (self._book.private(row.id) for row in visits)
        return tuple(record for record in records if not record.empty)

    def _add_maps(self, spool: Spool, wanted: set[str], kept: frozenset[str], removals: list[Removal]) -> Iterator[str]:
        for map_id in sorted(wanted):
            section_map = self._own_map(map_id)
            if section_map is not None:
                blanked, found = blank_map(section_map, kept)
                removals += found
                spool.add(bag.map_path(map_digest(blanked)), canonical_map(blanked) + b"\n")
                yield map_id

    def _own_map(self, map_id: str) -> SectionMap | None:
        shelved = self._book.shelved(MAP_SHELF, map_id)
        return check_map(json.loads(shelved.document)).value if shelved else None


def _known_names(book: Book, author: str) -> tuple[str, ...]:
    """Returns names in running text that are no people's: shops packs are exchanged with, makes, families, engines."""
    shops = {book.info.shop.name, *(key.shop for key in KeyRing(book, author).keys())}  # noqa: SIM118 - no mapping
    fields: tuple[VehicleField, ...] = ("make", "family", "engine")
    return tuple(sorted(shops.union(*(book.distinct(field) for field in fields))))


@lru_cache(maxsize=8)
def _title(title: str) -> str:
    return clean_text(title, lines=False)[:200]


def signer_of(book: Book, public_key: str) -> Signer:
    """Returns the signer of a book's packs."""
    return Signer(format=PACK_FORMAT, shop=book.info.shop, public_key=public_key)


def _plan_digest(spool: Spool, removals: list[Removal], signer: Signer, title: str) -> str:
    proof = hashlib.sha256(f"{_PLAN}\n{signer.public_key}\n{title}\n".encode())
    proof.update(bag.manifest_text(spool.digests))
    for removal in removals:
        proof.update(f"{removal.id} {'kept' if removal.kept else 'blanked'}\n".encode())
    return proof.hexdigest()
