"""The Swap Ledger: reads what is counted, knows the maps in use, and asks the ledger."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from datetime import datetime
from typing import Any

from kbapp.app.advising import book_maps, find_map
from kbapp.errors import Cancelled, DamageError, InputError
from kbapp.ledger.question import LedgerQuestion
from kbapp.ledger.report import BookRows, Ledger, Surroundings, ledger
from kbapp.ledger.rows import (
    JOB_COLUMNS,
    JOB_PACKED,
    LINK_COLUMNS,
    PART_COLUMNS,
    PART_PACKED,
    SYMPTOM_COLUMNS,
    TEST_COLUMNS,
    TEST_PACKED,
    GuardRow,
    jobs_of,
    links_of,
    parts_of,
    symptoms_of,
    tests_of,
)
from kbapp.maps.shipped import shipped_ids
from kbapp.store.book import Book
from kbapp.store.ledger_rows import Wanted

Stop = Callable[[], bool]


def never() -> bool:
    """Returns that the work goes on."""
    return False


def go_on(stop: Stop) -> None:
    """Lets work go on, or ends it.

    Raises:
        Cancelled: ``stop`` said so.
    """
    if stop():
        raise Cancelled


class LedgerDesk:
    """Asks the ledger about one book; what was read is kept until the book changes."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._kept: tuple[int, BookRows] | None = None

    def ask(self, question: LedgerQuestion, currency: str, stop: Stop = never, today: str = "") -> Ledger:
        """Returns the ledger's answers; ``currency`` is the shop's, ``today`` an ISO date (by default the present day).

        Raises:
            Cancelled: ``stop`` said so.
        """
        rows = self._rows(stop)
        around = Surroundings(
            currency=currency,
            today=today or datetime.now().astimezone().date().isoformat(),
            maps=tuple(sorted({*shipped_ids(), *book_maps(self._book)})),
            tests=self._tests(rows.jobs.map_id.words),
        )
        return ledger(rows, question, around, lambda: go_on(stop))

    def _rows(self, stop: Stop) -> BookRows:
        change = self._book.last_change()
        if self._kept is None or self._kept[0] != change:
            self._kept = (change, read_rows(self._book, stop))
        return self._kept[1]

    def _tests(self, map_ids: Sequence[str]) -> dict[str, frozenset[str]]:
        known: dict[str, frozenset[str]] = {}
        for map_id in map_ids:
            with suppress(InputError, DamageError):
                tests = find_map(map_id, self._book).tests if map_id else ()
                known[map_id] = frozenset(name for test in tests for name in (test.id, test.name))
        return known


def read_rows(book: Book, stop: Stop = never) -> BookRows:
    """Returns all that the ledger counts. The stamps of the guard are looked for beside the rest, in the documents."""
    with ThreadPoolExecutor(1, thread_name_prefix="provebook-stamps") as beside:
        stamps = beside.submit(book.stamped_parts)
        jobs = jobs_of(book.case_columns(Wanted(JOB_COLUMNS, JOB_PACKED)))
        go_on(stop)
        symptoms = symptoms_of(book.line_columns("symptom", Wanted(SYMPTOM_COLUMNS)))
        links = links_of(book.line_columns("link", Wanted(LINK_COLUMNS)))
        go_on(stop)
        parts = parts_of(book.line_columns("part", Wanted(PART_COLUMNS, PART_PACKED)))
        go_on(stop)
        tests = tests_of(book.line_columns("test", Wanted(TEST_COLUMNS, TEST_PACKED)))
        return BookRows(jobs, symptoms, links, parts, tests, tuple(stamp_row(*item) for item in stamps.result()))


def stamp_row(case_id: str, entry: dict[str, Any]) -> GuardRow:
    """Returns what was stamped on a part of a document."""
    return GuardRow(
        case_id=case_id,
        part=entry["part"],
        position=entry.get("position", ""),
        stage=entry.get("stage", "fitted"),
        rules=tuple((warning["rule"], warning["weight"]) for warning in entry["guard"].get("warnings", ())),
        overridden="override" in entry,
    )
