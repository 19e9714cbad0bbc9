"""One open book with its index: the composition root, and the only thing screens and commands call."""

import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kbapp.app.adding import NewCase
from kbapp.app.importing import ImportPlan, plan_import
from kbapp.app.indexing import SMALL_BOOK, IndexKeeper
from kbapp.app.jot import Jot, KnownVehicles, case_from_jot
from kbapp.app.kit import ShopKit
from kbapp.app.places import PRACTICE, Places, places
from kbapp.app.practice import ensure_practice_book
from kbapp.app.settings import Settings, read_settings
from kbapp.app.views import BookInfo, CaseView, ChangeSet, IndexState
from kbapp.errors import InputError
from kbapp.lookup.question import Answer, Question
from kbapp.records.case import Case, Shop
from kbapp.records.fault import Fault
from kbapp.records.private import PrivateDetails
from kbapp.store.book import Book, create_book, open_book
from kbapp.store.drafts import Drafts
from kbapp.store.reading import CaseFilter
from kbapp.store.values import Batch, CaseRow, Incoming, Revision, StoredCase

if TYPE_CHECKING:  # what reasons over maps brings numpy and more with it: imported when it is first asked
    from kbapp.app import advising
    from kbapp.app.aftercare import Aftercare
    from kbapp.app.batches import BatchUndone
    from kbapp.app.bench import Bench
    from kbapp.app.crate import Crate
    from kbapp.app.lead_check import LeadCheck
    from kbapp.app.learned import LearnedFigures
    from kbapp.app.ledger import LedgerDesk
    from kbapp.app.map_shelf import MapShelf
    from kbapp.app.next_step import NextStep
    from kbapp.app.part_names import PartNames
    from kbapp.app.pasting import NotesPlan
    from kbapp.app.people import People
    from kbapp.app.proving import Proving
    from kbapp.app.sheet import Audience, SheetFacts
    from kbapp.app.suggestions import Suggestion
    from kbapp.app.triage import Headings, TriageSheet
    from kbapp.app.vehicle_names import VehicleNames
    from kbapp.isolation.advice import Advice
    from kbapp.isolation.guard import Guard
    from kbapp.records.section_map import SectionMap

_EVERY_CASE = CaseFilter()


def _never() -> bool:
    return False


def _silent(_done: int, _of: int) -> None:
    return None


def _open_book(location: str, where: Places, author: str) -> Book:
    if location == PRACTICE:
        return open_book(str(ensure_practice_book()), author=author)
    if Path(location) == where.own_book and not where.own_book.exists():
        shop = Shop(id=str(uuid.uuid4()), name=read_settings(where.settings)[0].shop_name)
        create_book(location, shop).close()
    return open_book(location, author=author, backups=where.data / "backups")


class Session:
    """One open book with its index. Every method may be called from any thread."""

    def __init__(self, book: Book, keeper: IndexKeeper, drafts: Drafts, author: str) -> None:
        self._book, self._keeper, self._drafts, self._author = book, keeper, drafts, author
        facts = book.info
        self.info = BookInfo(
            facts.name, facts.location, facts.practice, facts.shop, author, facts.incarnation, book.warnings
        )
        self._seen = book.last_change()
        self._ledger: LedgerDesk | None = None

    @classmethod
    def open(cls, location: str, *, author: str = "", follow: bool = True) -> "Session":
        """Opens a book: a folder, a PostgreSQL address, or ``practice``. The user's own book is made at first use.

        ``follow`` starts the thread that keeps the index up to date; a short-lived command does without.

        Raises:
            InputError, EnvironmentFault, DamageError: the book cannot be opened, with the reason.
        """
        where = places()
        book = _open_book(location, where, author)
        keeper = IndexKeeper(
            book,
            str(ensure_practice_book()) if location == PRACTICE else location,
            where.index_of(book.info.incarnation),
        )
        session = cls(book, keeper, Drafts(where.drafts, book.info.incarnation), author)
        keeper.open()
        if follow:
            keeper.start()
        return session

    def close(self) -> None:
        """Closes index and book."""
        self._keeper.close()
        self._book.close()

    def count(self) -> int:
        """Returns how many cases are in view."""
        return self._book.count()

    def look(self, question: Question, stop: Callable[[], bool] = _never) -> Answer:
        """Returns the answer to a question.

        Raises:
            Cancelled: ``stop`` said so.
        """
        return self._keeper.ask(question, stop)

    def index_state(self) -> IndexState:
        """Returns whether questions are answered from the index."""
        return self._keeper.state()

    def prepare_index(self, progress: Callable[[int, int], None] = _silent) -> None:
        """Brings the index up to date on this thread; builds it where there is none and the book is small."""
        if not self._keeper.state().ready and self.count() <= SMALL_BOOK:
            self._keeper.build_here(progress, _never)
        self._keeper.catch_up()

    def rebuild_index(self, progress: Callable[[int, int], None] = _silent, stop: Callable[[], bool] = _never) -> None:
        """Builds the index anew on this thread, whatever the size of the book."""
        self._keeper.build_here(progress, stop)

    def case(self, case_id: str) -> CaseView:
        """Returns a case by id, unique start of an id, or number.

        Raises:
            InputError: there is none, or several start so.
        """
        return _view(self._book.case(case_id))

    def rows(self, ids: Sequence[str]) -> tuple[CaseRow, ...]:
        """Returns the cases in view with these ids in one line each."""
        return self._book.rows(ids)

    def list_cases(self, wanted: CaseFilter = _EVERY_CASE, limit: int = 100) -> tuple[CaseRow, ...]:
        """Returns cases in one line each, newest first."""
        return self._book.list_cases(wanted, limit=limit)

    def jot(self, jot: Jot) -> ChangeSet:
        """Records a jot as a new case.

        Raises:
            InputError: the concern is blank, or a line too long.
        """
        case = case_from_jot(jot, self._book.info.shop, self._author, self.known_vehicles())
        return self.save(case, None)

    def save(self, case: Case, based_on: int | None, *, reason: str = "") -> ChangeSet:
        """Saves a case over the revision it started from (None: a new case).

        Raises:
            StaleSave: someone else changed the same field since; nothing is written.
        """
        saved = self._book.save(case, based_on, author=self._author, reason=reason)
        self._keeper.follow(saved.change)
        return ChangeSet(saved.change, (saved.case.id,), saved.revision, saved.merged)

    def add(self, cases: Sequence[NewCase], attachments: Path | None = None) -> ChangeSet:
        """Adds cases from outside: all or none. In the practice book they are practice cases."""
        if attachments is not None:
            self._take_files(cases, attachments)
        incoming = [Incoming(new.case, new.private) for new in cases]
        batch = self._book.add_many(incoming, origin="outside", author=self._author, title="add")
        self._keeper.follow(batch.last_change)
        return ChangeSet(batch.last_change, batch.cases)

    def _take_files(self, cases: Sequence[NewCase], folder: Path) -> None:
        for new in cases:
            for attachment in new.case.attachments:
                path = folder / attachment.sha256
                if not path.is_file():
                    raise InputError("attachment_missing", name=attachment.name, path=str(path))
                if self._book.files.put(path) != attachment.sha256:
                    raise InputError("attachment_differs", name=attachment.name, path=str(path))

    def known_vehicles(self) -> KnownVehicles:
        """Returns the makes, families and engines the book holds."""
        return KnownVehicles(self._book.distinct("make"), self._book.distinct("family"), self._book.distinct("engine"))

    def plan_import(self, path: Path, columns: Mapping[str, str], *, only: bool = False) -> ImportPlan:
        """Returns what importing a CSV file would do; nothing is written."""
        return plan_import(path, columns, self._book.info.shop, self.known_vehicles(), only=only)

    def import_cases(self, cases: Sequence[Case], private: Mapping[str, PrivateDetails] | None = None) -> ChangeSet:
        """Records cases of an import plan as the shop's own: all or none. ``private`` is by the id of the case."""
        incoming = [Incoming(case, (private or {}).get(case.id)) for case in cases]
        batch = self._book.add_many(incoming, origin="own", author=self._author, title="import")
        self._keeper.follow(batch.last_change)
        return ChangeSet(batch.last_change, batch.cases, batch=batch.id)

    def plan_notes(self, text: str) -> "NotesPlan":
        """Returns what pasted notes would become; nothing is written."""
        from kbapp.app.pasting import plan_notes

        return plan_notes(text, self._book.info.shop, self._author, self.known_vehicles())

    def undo_batch(self, batch_id: str) -> "BatchUndone":
        """Takes what an import brought out of view, except what was touched since."""
        from kbapp.app.batches import undo_batch

        undone = undo_batch(self._book, batch_id, self._author)
        self._keeper.follow(undone.changes.change)
        return undone

    def batches(self) -> tuple[Batch, ...]:
        """Returns every import, the latest first."""
        return self._book.batches()

    def triage(self, sheet: "TriageSheet", headings: "Headings | None" = None) -> ChangeSet:
        """Records what was asked on the phone as an open case, and who called in the private record."""
        from kbapp.app.triage import case_from_triage

        made = case_from_triage(sheet, self._book.info.shop, self._author, headings)
        changed = self.save(made.case, None)
        return (
            changed
            if made.private.empty
            else replace(changed, change=self.set_private(made.case.id, made.private).change)
        )

    def private(self, case_id: str) -> PrivateDetails:
        """Returns the private details of a case."""
        return self._book.private(case_id)

    def set_private(self, case_id: str, details: PrivateDetails) -> ChangeSet:
        """Keeps the private details of a case in place of any before."""
        return ChangeSet(self._book.set_private(case_id, details, self._author), (case_id,))

    def erase_private(self, case_id: str) -> ChangeSet:
        """Erases the private details of a case; that they were erased is logged. Backups made before keep them."""
        return ChangeSet(self._book.erase_private(case_id, self._author), (case_id,))

    def revisions(self, case_id: str) -> tuple[Revision, ...]:
        """Returns every version of a case, the latest first."""
        return self._book.revisions(case_id)

    def vehicle_names(self) -> "VehicleNames":
        """Returns the vehicles of the book, for completing what is typed."""
        from kbapp.app.book_words import vehicle_names

        return vehicle_names(self._book)

    def part_names(self) -> "PartNames":
        """Returns the parts of all maps and of the book."""
        from kbapp.app.book_words import part_names

        return part_names(self._book)

    def suggestions(self, case: Case) -> "tuple[Suggestion, ...]":
        """Returns what the free words of a case could become."""
        from kbapp.app.book_words import known_names
        from kbapp.app.suggestions import suggest

        return suggest(case, known_names(self._book, self.known_vehicles()))

    def follow(self) -> ChangeSet | None:
        """Returns what anyone changed since the last call, or None; the index is told."""
        last = self._book.last_change()
        if last <= self._seen:
            return None
        changes = self._book.changes_since(self._seen, 1000)
        self._seen = changes[-1].number if changes else last
        self._keeper.follow(last)
        return ChangeSet(self._seen, tuple(dict.fromkeys(change.case_id for change in changes)))

    @cached_property
    def _learned(self) -> "LearnedFigures":
        from kbapp.app.learned import LearnedFigures

        return LearnedFigures(self._book)

    def map_of(self, case: Case) -> "SectionMap":
        """Returns the map a case names, or the one that fits its concern best.

        Raises:
            InputError: ``map_unknown``, or ``case_without_map`` where nothing fits.
        """
        from kbapp.app import advising

        return advising.map_of_case(case, self._book)

    def advise(self, case: Case, section_map: "SectionMap", ask: "advising.Ask", settings: Settings) -> "Advice":
        """Returns the engine's advice on a case, with what the book knows of vehicle and concern."""
        from kbapp.app import advising

        return advising.advise_case(
            case, section_map, self._taught(case, section_map, ask, settings), settings, self._book
        )

    def _taught(
        self, case: Case, section_map: "SectionMap | None", ask: "advising.Ask", settings: Settings
    ) -> "advising.Ask":
        """Returns the question with what proved cases taught the map, where the settings switch that on."""
        if ask.learned is not None or section_map is None or not settings.learned:
            return ask
        return replace(ask, learned=self._learned.of(section_map, case.concern.symptoms, without=case.id))

    def proposed_maps(self, case: Case) -> "tuple[SectionMap, ...]":
        """Returns the maps that fit a case's concern, the best first."""
        from kbapp.app import advising

        return advising.proposed_maps(case)

    def all_maps(self) -> "tuple[SectionMap, ...]":
        """Returns every map of the book and of the installation, by title."""
        from kbapp.app import advising

        return advising.all_maps(self._book)

    def nested_maps(self, section_map: "SectionMap") -> "tuple[SectionMap, ...]":
        """Returns the maps that pinpoint inside a section of a map."""
        from kbapp.app import advising

        return advising.nested_maps(section_map, self._book)

    def guard(self, case: Case, section_map: "SectionMap | None", ask: "advising.Ask", settings: Settings) -> "Guard":
        """Returns the swap guard of a case, with what the book knows of vehicle and concern."""
        from kbapp.app import advising

        return advising.guard_of(
            case, section_map, self._taught(case, section_map, ask, settings), settings, self._book
        )

    def keep_file(self, source: Path | bytes) -> str:
        """Keeps a file in the book and returns its SHA-256."""
        return self._book.files.put(source)

    def read_file(self, sha256: str) -> bytes:
        """Returns a file of the book, proved."""
        return self._book.files.read(sha256)

    def drafts(self) -> Drafts:
        """Returns the drafts of running text kept on this PC for this book."""
        return self._drafts

    def crate(self) -> "Crate":
        """Returns the exchange of packs with other shops."""
        from kbapp.app.crate import Crate

        return Crate(self._book, self._author, self._keeper.follow)

    def kit(self) -> ShopKit:
        """Returns what the shop can do: its tools and scan functions."""
        return ShopKit(self._book, self._author)

    def map_shelf(self) -> "MapShelf":
        """Returns the maps the shop drew itself."""
        from kbapp.app.map_shelf import MapShelf

        return MapShelf(self._book, self._author)

    def ledger(self) -> "LedgerDesk":
        """Returns the Swap Ledger: figures over the book, retraced cases, lessons, learned figures."""
        from kbapp.app.ledger import LedgerDesk

        if self._ledger is None:
            self._ledger = LedgerDesk(self._book, self._learned)
        return self._ledger

    def bench(self) -> "Bench":
        """Returns the Bench: what is open, waits, is due, came back, and who was here before."""
        from kbapp.app.bench import Bench

        return Bench(self._book)

    def people(self) -> "People":
        """Returns who works here and who leads."""
        from kbapp.app.people import People

        return People(self._book, self._author)

    def proving(self) -> "Proving":
        """Returns the retests of cases."""
        from kbapp.app.proving import Proving

        return Proving(self._book, self._author, self._keeper.follow)

    def lead_check(self) -> "LeadCheck":
        """Returns Lead Check: the cases that wait for a signature."""
        from kbapp.app.lead_check import LeadCheck

        return LeadCheck(self._book, self._author, self._keeper.follow)

    def aftercare(self) -> "Aftercare":
        """Returns what comes after a repair: follow-ups, comebacks, withdrawals, corrections, the history of a case."""
        from kbapp.app.aftercare import Aftercare

        return Aftercare(self._book, self._author, self._keeper.follow)

    def next_step(self, case_id: str, settings: Settings) -> "NextStep":
        """Returns what to do next on an open case, by the same ranking as its advice."""
        from kbapp.app.advising import Ask
        from kbapp.app.next_step import map_in_hand, next_step

        case = self._book.case(case_id).case
        section_map = map_in_hand(case, self._book)
        family = case.vehicle.family if case.vehicle is not None else ""
        ask = self._taught(case, section_map, Ask(missing=self.kit().missing(family)), settings)
        return next_step(case, section_map, ask, settings)

    def sheet(self, reference: str, audience: "Audience") -> "SheetFacts":
        """Returns what the Hand-Back Sheet of a case says, for the customer or for the shop.

        Raises:
            InputError: there is no such case, or several.
        """
        from kbapp.app.sheet import sheet_facts

        return sheet_facts(self._book, reference, audience)

    def sign_as(self, author: str) -> None:
        """Changes who is at the keyboard: what is saved from now on is signed so."""
        self._author = self._book.author = author
        self.info = replace(self.info, author=author)

    def rename_shop(self, name: str) -> None:
        """Changes what the shop of this book is called."""
        self._book.rename_shop(name)
        self.info = replace(self.info, shop=self._book.info.shop)

    def facts(self) -> dict[str, Any]:
        """Returns what the book is and holds, as plain values."""
        info = self._book.info
        return {
            "name": info.name,
            "location": info.location,
            "practice": info.practice,
            "shop": info.shop.plain(),
            "cases": self.count(),
            "last_change": self._book.last_change(),
            "format": info.format,
            "book_id": info.book_id,
            "incarnation": info.incarnation,
            "created_at": info.created_at,
            "index_ready": self._keeper.state().ready,
        }

    def check(self, progress: Callable[[int, int], None] = _silent) -> tuple[Fault, ...]:
        """Returns every way in which the book does not agree with itself."""
        return self._book.check(progress)

    def backup(self, out: Path, progress: Callable[[int, int], None] = _silent) -> None:
        """Writes the whole book into one file."""
        self._book.backup(out, progress)


def _view(stored: StoredCase) -> CaseView:
    return CaseView(stored.case, stored.revision, stored.saved_at, stored.author, stored.origin, stored.signed_here)


def restore_book(archive: Path, location: str, progress: Callable[[int, int], None] = _silent) -> int:
    """Makes a book from a backup at a location that holds none, and returns how many cases it has."""
    from kbapp.store.backup import restore

    restore(archive, location, progress)
    book = open_book(location)
    try:
        return book.count()
    finally:
        book.close()
