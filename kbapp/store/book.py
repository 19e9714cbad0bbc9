"""The book: the one object the rest of the program saves to and reads from.

Every method may be called from any thread, and from several at a time: each takes a connection of its own. What comes
back are plain frozen values.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Final, Self

from kbapp.errors import KbError
from kbapp.records.base import clean_text
from kbapp.records.case import Case, Shop
from kbapp.records.fault import Fault
from kbapp.records.private import PrivateDetails
from kbapp.store import (
    batch_list,
    batches,
    checking,
    facts,
    ledger_rows,
    private_details,
    reading,
    saving,
    shelf,
    sign_offs,
    signatures,
    undo,
)  # fmt: skip
from kbapp.store.archive import Backup, write_archive
from kbapp.store.automatic_backup import KEPT, back_up_automatically
from kbapp.store.change_counter import last_change
from kbapp.store.database import BUSY_SECONDS, Database
from kbapp.store.facts import CauseFact, FacetField, PartFact, TestFact
from kbapp.store.files import files_of
from kbapp.store.heads import resolve, utc_now
from kbapp.store.identity import read_info, write_meta
from kbapp.store.ledger_rows import Columns, LineKind, Wanted
from kbapp.store.location import parse_location
from kbapp.store.opening import create_database, open_database, warnings_of
from kbapp.store.reading import CaseFilter, VehicleField
from kbapp.store.rebuilding import rebuild
from kbapp.store.saving import Stamp
from kbapp.store.sign_offs import Signature, SignedLine
from kbapp.store.task import Progress, Stop, Task
from kbapp.store.values import (
    Batch,
    BookInfo,
    CaseRow,
    Change,
    ChangedDocument,
    Incoming,
    ManyIncoming,
    Origin,
    PrivateMatch,
    Revision,
    Saved,
    StoredCase,
    Undone,
)  # fmt: skip

_EVERYTHING: Final = CaseFilter()


def create_book(
    location: str | Path, shop: Shop, *, practice: bool = False, name: str = "", author: str = ""
) -> "Book":
    """Makes a new book in an empty or new folder, or in a PostgreSQL database that holds none, and opens it.

    Raises:
        InputError: ``location_wrong``, ``book_exists``, ``folder_not_empty`` or ``database_not_empty``.
        EnvironmentFault: ``network_disk``, or the disk or server refuses.
    """
    place = parse_location(location)
    create_database(place, shop, practice=practice, name=clean_text(name, lines=False))
    return open_book(location, author=author)


def open_book(
    location: str | Path, *, author: str = "", busy_seconds: float = BUSY_SECONDS, backups: Path | None = None
) -> "Book":
    """Opens a book; an older format is backed up and brought up to date first.

    A save waits ``busy_seconds`` for others. Automatic backups go to the folder ``backups``; without it beside an
    embedded book, or to the user's data folder for one on a server.

    Raises:
        InputError: ``location_wrong``, ``book_missing``, ``not_a_book`` or ``book_newer``.
        EnvironmentFault: ``network_disk``, or the disk or server stands in the way.
        DamageError: ``book_damaged`` or ``not_a_database``.
    """
    place = parse_location(location)
    database = open_database(place, busy_seconds=busy_seconds, backups=backups)
    try:
        return Book(database, author=author)
    except BaseException:
        database.close()
        raise


class Book:
    """An open book. ``author`` signs what is written without a name of its own."""

    def __init__(self, database: Database, *, author: str = "") -> None:
        self._database = database
        self.author = clean_text(author, lines=False)
        with database.read() as connection:
            self.info: BookInfo = read_info(connection, database.shown)
        self.warnings: tuple[KbError, ...] = warnings_of(database.location)
        self.files = files_of(database)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Closes the connections; using the book again opens new ones."""
        self._database.close()

    def _stamp(self, author: str, reason: str = "", origin: Origin = "own") -> Stamp:
        name = clean_text(author, lines=False) or self.author
        return Stamp(name, utc_now(), clean_text(reason), "practice" if self.info.practice else origin)

    def rename_shop(self, name: str) -> None:
        """Changes what the shop is called; its id, and with it the origin of every case, stays."""
        shop = Shop(id=self.info.shop.id, name=clean_text(name, lines=False))
        with self._database.write() as connection:
            write_meta(connection, "shop_name", shop.name)
        self.info = replace(self.info, shop=shop)

    # saving

    def save(self, case: Case, based_on: int | None, author: str = "", reason: str = "") -> Saved:
        """Saves a case: new where ``based_on`` is None, else the version made from the revision ``based_on``.

        What others saved meanwhile is merged in. Saving what the book already holds changes nothing.

        Raises:
            DocumentFaults: the case contradicts itself.
            StaleSave: others changed the same fields; nothing is written.
            InputError: ``case_exists``, ``case_unknown``, ``revision_unknown`` or ``number_taken``.
        """
        with self._database.write() as connection:
            return saving.save(connection, case, based_on, self._stamp(author, reason))

    def add_many(
        self,
        cases: Iterable[Case | Incoming] | ManyIncoming,
        *,
        origin: Origin,
        author: str = "",
        title: str = "",
        progress: Progress | None = None,
        cancel: Stop | None = None,
    ) -> Batch:
        """Adds all cases or none, as one batch that ``undo_batch`` can take out of view again.

        Raises:
            DocumentFaults: a case contradicts itself.
            InputError: ``batch_empty``, ``case_exists``, ``case_twice``, ``case_moved_on`` or ``number_taken``.
            Cancelled: ``cancel`` returned true before the cases were published.
        """
        if isinstance(cases, ManyIncoming):
            each = cases.each
        else:
            incoming = [one if isinstance(one, Incoming) else Incoming(one) for one in cases]
            each = incoming.__iter__
        stamp = self._stamp(author, title, origin)
        task = Task(progress, cancel)
        return batches.add_many(self._database, each, stamp, clean_text(title, lines=False), task)

    def undo_batch(self, batch_id: str, author: str = "") -> Undone:
        """Takes what a batch brought out of view, except what was touched since.

        Raises:
            InputError: ``batch_unknown`` or ``batch_undone``.
        """
        with self._database.write() as connection:
            return undo.undo_batch(connection, batch_id, self._stamp(author))

    def batches(self) -> tuple[Batch, ...]:
        """Returns every batch, the latest first, without the ids of its cases."""
        with self._database.read() as connection:
            return batch_list.list_batches(connection)

    def batch(self, batch_id: str) -> Batch:
        """Returns a batch with the ids of its cases, or raises InputError ``batch_unknown``."""
        with self._database.read() as connection:
            return batch_list.read_batch(connection, batch_id)

    def save_together(
        self, pairs: Sequence[tuple[Case, int | None]], author: str = "", reason: str = ""
    ) -> tuple[Saved, ...]:
        """Saves several cases (each with the revision it was made from), all of them or none. Errors as ``save``."""
        with self._database.write() as connection:
            stamp = self._stamp(author, reason)
            return tuple(saving.save(connection, case, based_on, stamp) for case, based_on in pairs)

    def sign(self, case: Case, based_on: int, signature: Signature, author: str = "", reason: str = "") -> Saved:
        """Saves a case as it is signed, with a line of the sign-off log; nothing that others saved is merged in.

        Raises:
            InputError: ``case_unknown`` or ``sign_moved_on``.
            EnvironmentFault: ``sign_needs_lead_login``.
        """
        with self._database.write() as connection:
            return sign_offs.sign(connection, case, based_on, signature, self._stamp(author, reason))

    def sign_offs(self, case_id: str) -> tuple[SignedLine, ...]:
        """Returns the lines of the sign-off log about a case, the latest first."""
        with self._database.read() as connection:
            return sign_offs.lines_of(connection, case_id)

    def last_sign_offs(self, ids: Sequence[str]) -> dict[str, SignedLine]:
        """Returns the latest line of the sign-off log about each of these cases that has one."""
        with self._database.read() as connection:
            return sign_offs.last_lines(connection, ids)

    def accept_signature(self, case_id: str, by: str, signature: Signature | None = None) -> int:
        """Lets a case that was proved elsewhere count as signed here, and returns the change.

        ``signature`` is what the sign-off log says of it; without it ``by`` stands alone there.

        Raises:
            InputError: ``case_unknown`` or ``not_proved``.
            EnvironmentFault: ``sign_needs_lead_login``.
        """
        with self._database.write() as connection:
            return signatures.accept(connection, case_id, self._stamp(by), signature)

    # reading

    def last_change(self) -> int:
        """Returns the number of the latest commit, 0 for a new book."""
        with self._database.read() as connection:
            return last_change(connection)

    def changes_since(self, number: int, limit: int = 1000) -> tuple[Change, ...]:
        """Returns the changes after ``number``: numbered by one, in the order of the commits."""
        with self._database.read() as connection:
            return reading.changes_since(connection, number, limit)

    def documents_changed_since(self, number: int, limit: int = 500) -> tuple[ChangedDocument, ...]:
        """Returns the cases touched after ``number`` as they are now, each once and by its latest change."""
        with self._database.read() as connection:
            return reading.documents_changed_since(connection, number, limit)

    def find_id(self, reference: str) -> str:
        """Returns the id a person means by an id, a case number, or eight or more first letters of an id.

        Raises:
            InputError: ``case_unknown``, ``case_removed`` or ``case_ambiguous``.
        """
        with self._database.read() as connection:
            return resolve(connection, reference)

    def case(self, reference: str) -> StoredCase:
        """Returns a case by id, number or the beginning of an id. Errors as ``find_id``."""
        with self._database.read() as connection:
            return reading.read_case(connection, reference)

    def cases(self, ids: Sequence[str]) -> tuple[StoredCase, ...]:
        """Returns the cases in view with these ids, in this order."""
        with self._database.read() as connection:
            return reading.read_cases(connection, ids)

    def rows(self, ids: Sequence[str]) -> tuple[CaseRow, ...]:
        """Returns the light rows of the cases in view with these ids, in this order."""
        with self._database.read() as connection:
            return reading.read_rows(connection, ids)

    def list_cases(self, wanted: CaseFilter = _EVERYTHING, *, limit: int = 200, offset: int = 0) -> tuple[CaseRow, ...]:
        """Returns cases in view, the latest changed first."""
        with self._database.read() as connection:
            return reading.list_cases(connection, wanted, limit, offset)

    def count(self, wanted: CaseFilter = _EVERYTHING) -> int:
        """Returns how many cases are in view."""
        with self._database.read() as connection:
            return reading.count_cases(connection, wanted)

    def distinct(self, field: VehicleField) -> tuple[str, ...]:
        """Returns the values a field of the vehicle has in the cases in view."""
        with self._database.read() as connection:
            return reading.distinct_values(connection, field)

    def text_search(self, words: str, limit: int = 50) -> tuple[CaseRow, ...]:
        """Returns the cases that hold every word, latest first: for use while there is no index."""
        with self._database.read() as connection:
            return reading.text_search(connection, words, limit)

    def revisions(self, case_id: str) -> tuple[Revision, ...]:
        """Returns every version of a case, the latest first."""
        with self._database.read() as connection:
            return reading.list_revisions(connection, case_id)

    def revision(self, case_id: str, number: int) -> StoredCase:
        """Returns a version of a case as it stood, or raises InputError ``revision_unknown``."""
        with self._database.read() as connection:
            return reading.read_revision(connection, case_id, number)

    # facts for facets, ledger and priors

    def part_facts(self, map_id: str = "") -> tuple[PartFact, ...]:
        """Returns every part of the cases in view (of one map), in the order of each timeline."""
        with self._database.read() as connection:
            return facts.part_facts(connection, map_id)

    def test_facts(self, map_id: str = "") -> tuple[TestFact, ...]:
        """Returns every test of the cases in view (of one map), in the order of each timeline."""
        with self._database.read() as connection:
            return facts.test_facts(connection, map_id)

    def cause_facts(self, map_id: str = "") -> tuple[CauseFact, ...]:
        """Returns every case in view (of one map) with its symptoms and what is known of its cause."""
        with self._database.read() as connection:
            return facts.cause_facts(connection, map_id)

    def facet_counts(self, field: FacetField) -> tuple[tuple[str, int], ...]:
        """Returns how many cases in view have each value of a field, the most frequent first."""
        with self._database.read() as connection:
            return facts.facet_counts(connection, field)

    def case_columns(self, wanted: Wanted) -> Columns:
        """Returns these columns of the projection of every case in view, a tuple each."""
        with self._database.read() as connection:
            return ledger_rows.case_columns(connection, wanted)

    def line_columns(self, kind: LineKind, wanted: Wanted) -> Columns:
        """Returns these columns of every symptom, link, part or test, a tuple each."""
        with self._database.read() as connection:
            return ledger_rows.line_columns(connection, kind, wanted)

    def stamped_parts(self) -> tuple[tuple[str, dict[str, Any]], ...]:
        """Returns case id and part entry of every part the swap guard stamped."""
        with self._database.read() as connection:
            return tuple(ledger_rows.stamped_parts(connection))

    # private details

    def private(self, case_id: str) -> PrivateDetails:
        """Returns the private details of a case; every field is empty where nothing is kept."""
        with self._database.read() as connection:
            return private_details.get_private(connection, case_id)

    def set_private(self, case_id: str, details: PrivateDetails, author: str = "") -> int:
        """Keeps the private details of a case in place of any before, and returns the change."""
        with self._database.write() as connection:
            return private_details.set_private(connection, case_id, details, self._stamp(author))

    def erase_private(self, case_id: str, author: str = "") -> int:
        """Erases the private details of a case, logs that, and returns the change.

        Backups keep them until they are rotated out: ``private_details.ERASED_NOTE`` is the sentence to show.
        """
        with self._database.write() as connection:
            return private_details.erase_private(connection, case_id, self._stamp(author))

    def find_private(self, wanted: str, limit: int = 50) -> tuple[PrivateMatch, ...]:
        """Returns the cases with this plate, VIN (or its last six characters) or phone, latest first."""
        with self._database.read() as connection:
            return private_details.find_private(connection, wanted, limit)

    # the shop's own documents that are no cases

    def put_shelved(
        self, kind: str, key: str, document: str, author: str = "", based_on: int | None = None
    ) -> shelf.Shelved | None:
        """Puts a version of a document on the shelf; an empty one takes it off, the same again changes nothing.

        Raises:
            InputError: ``shelf_moved_on``, ``based_on`` is given and no longer the latest version.
        """
        with self._database.write() as connection:
            return shelf.put(connection, kind, key, document, self._stamp(author), based_on)

    def shelved(self, kind: str, key: str) -> shelf.Shelved | None:
        """Returns the latest version of a document, or None."""
        with self._database.read() as connection:
            return shelf.get(connection, kind, key)

    def all_shelved(self, kind: str) -> tuple[shelf.Shelved, ...]:
        """Returns the latest version of every document of a kind, by key."""
        with self._database.read() as connection:
            return shelf.all_of(connection, kind)

    def shelf_versions(self, kind: str, key: str) -> tuple[shelf.Shelved, ...]:
        """Returns every version of a document, the latest first."""
        with self._database.read() as connection:
            return shelf.versions(connection, kind, key)

    # the whole book

    def backup(self, out: Path, progress: Progress | None = None, cancel: Stop | None = None) -> Backup:
        """Writes the whole book into one file that serves embedded books and books on a server alike.

        Raises:
            InputError: ``backup_exists``.
            Cancelled: the task was stopped; nothing is left behind.
        """
        return write_archive(self._database, out, Task(progress, cancel))

    def backup_automatically(
        self, kept: int = KEPT, progress: Progress | None = None, cancel: Stop | None = None
    ) -> Path:
        """Writes a backup among the automatic ones, of which the latest ``kept`` are kept, and returns its place."""
        return back_up_automatically(self._database, kept, Task(progress, cancel))

    def check(self, progress: Progress | None = None, cancel: Stop | None = None) -> tuple[Fault, ...]:
        """Returns every way in which the book does not agree with itself; none in a sound book."""
        return checking.check(self._database, self.files, Task(progress, cancel))

    def repair_projection(self, progress: Progress | None = None, cancel: Stop | None = None) -> int:
        """Makes the lists, facets and search text anew from the documents, and returns how many cases there are.

        Raises:
            DamageError: a document cannot be read; nothing is changed.
        """
        with self._database.write() as connection:
            return rebuild(connection, Task(progress, cancel))
