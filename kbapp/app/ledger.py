"""The Swap Ledger: reads what is counted, knows the maps in use, and asks the ledger."""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Final

import numpy as np

from kbapp.app.advising import book_maps, economics_of, find_map, map_of_case
from kbapp.app.learned import LearnedFigures, LearnedLine, learned_line
from kbapp.app.settings import Settings
from kbapp.errors import Cancelled, DamageError, InputError
from kbapp.isolation.honesty import Honesty, Judged, honesty, judged
from kbapp.isolation.lesson import Lesson, start_lesson
from kbapp.isolation.retrace import CLOSED, Retrace, retrace
from kbapp.ledger.basis import basis
from kbapp.ledger.columns import last_rows, same_name
from kbapp.ledger.question import LedgerQuestion, Outside
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
    Jobs,
    jobs_of,
    links_of,
    parts_of,
    symptoms_of,
    tests_of,
)
from kbapp.maps.shipped import shipped_ids
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.store.book import Book
from kbapp.store.ledger_rows import Wanted
from kbapp.store.values import CaseRow

Stop = Callable[[], bool]
MOST_LISTED: Final = 500
"""How many cases a list of closed cases shows, the latest recorded."""
MOST_DECOYS: Final = 6
MOST_JUDGED: Final = 2_000
"""Over how many proved cases the shares are judged at most, the latest recorded."""


@dataclass(frozen=True, slots=True)
class Choices:
    """What a question can be narrowed by; families with their makes."""

    systems: tuple[str, ...]
    symptoms: tuple[str, ...]
    families: tuple[tuple[str, str], ...]


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

    def __init__(self, book: Book, learned: LearnedFigures | None = None) -> None:
        self._book = book
        self._learned = learned or LearnedFigures(book)
        self._kept: tuple[int, BookRows] | None = None
        self._judged: dict[tuple[int, str], Judged | None] = {}

    def ask(self, question: LedgerQuestion, currency: str, stop: Stop = never, today: str = "") -> Ledger:
        """Returns the ledger's answers; ``currency`` is the shop's, ``today`` an ISO date (by default the present day).

        Raises:
            Cancelled: ``stop`` said so.
        """
        rows = self._rows(stop)
        if question.symptom or "came_back_as" in rows.links.kind:
            rows = self._with_symptoms(rows)
        around = Surroundings(
            currency=currency,
            today=today or datetime.now().astimezone().date().isoformat(),
            maps=tuple(sorted({*shipped_ids(), *book_maps(self._book)})),
            tests=self._tests(rows.jobs.map_id.words),
        )
        return ledger(rows, question, around, lambda: go_on(stop))

    def choices(self, stop: Stop = never) -> Choices:
        """Returns what the cases of the book can be narrowed by."""
        rows = self._with_symptoms(self._rows(stop))
        makes = {(rows.jobs.make.at(n), rows.jobs.family.at(n)) for n in _firsts(rows.jobs)}
        return Choices(
            systems=tuple(sorted({word for word in rows.jobs.system.words if word})),
            symptoms=tuple(sorted({word for word in rows.symptoms.term.words if word}, key=str.casefold)),
            families=tuple(sorted((make, family) for make, family in makes if family)),
        )

    def closed_cases(self, *, with_map: bool, stop: Stop = never) -> tuple[CaseRow, ...]:
        """Returns the cases that can be retraced (closed, ``with_map``) or learnt from (proved), the latest first."""
        jobs = self._rows(stop).jobs
        found = jobs.state.among(*(CLOSED if with_map else ("proved",)))
        if with_map:
            found &= ~jobs.map_id.among("")
        rows = self._book.rows([jobs.id[place] for place in np.flatnonzero(found).tolist()][-MOST_LISTED:])
        return tuple(sorted(rows, key=lambda row: (row.opened, row.number), reverse=True))

    def retrace(self, case_id: str, settings: Settings) -> Retrace:
        """Returns a closed case line by line, against the advice of the map it names.

        Raises:
            InputError: ``map_unknown``, ``case_without_map``, or ``case_still_open``.
        """
        case = self._book.case(case_id).case
        found = retrace(case, map_of_case(case, self._book), economics_of(settings))
        if found is None:
            raise InputError("case_still_open", case=case.number or case.id)
        return found

    def lesson(self, case_id: str, settings: Settings) -> Lesson:
        """Returns a proved case with its answer hidden.

        Raises:
            InputError: ``case_teaches_nothing``, it is not proved or gives nothing to choose.
        """
        case = self._book.case(case_id).case
        section_map = None
        with suppress(InputError, DamageError):
            section_map = find_map(case.map.id, self._book, case.map.version) if case.map is not None else None
        found = start_lesson(case, section_map, economics_of(settings), self._decoys(case))
        if found is None:
            raise InputError("case_teaches_nothing", case=case.number or case.id)
        return found

    def _decoys(self, case: Case) -> list[str]:
        """Returns parts that were the cause in other proved cases of the system, the commonest first."""
        jobs = self._rows(never).jobs
        there = jobs.state.among("proved") & jobs.system.among(case.concern.system or "")
        own = {same_name(case.cause.part)} if case.cause is not None else set()
        counted = Counter(jobs.cause_part.at(place) for place in np.flatnonzero(there).tolist())
        names = [name for name, _ in sorted(counted.items(), key=lambda item: (-item[1], item[0]))]
        return [name for name in names if name and same_name(name) not in own][:MOST_DECOYS]

    def honesty(self, outside: Outside = "accepted", stop: Stop = never) -> Honesty:
        """Returns whether the shares came true over the book's proved cases that were worked with a map.

        Raises:
            Cancelled: ``stop`` said so.
        """
        rows = self._rows(stop)
        found = basis(rows.jobs, rows.symptoms, rows.links, LedgerQuestion(outside=outside))
        mapped = found.counted[~rows.jobs.map_id.among("")[found.counted]]
        latest = mapped[last_rows(found.vehicle[mapped], np.arange(len(mapped), dtype=np.int64))]
        chosen = np.sort(latest)[-MOST_JUDGED:].tolist()
        maps = self.maps({rows.jobs.map_id.at(place) for place in chosen})
        out: list[Judged] = []
        for place in chosen:
            go_on(stop)
            section_map = maps.get(rows.jobs.map_id.at(place))
            if section_map is not None:
                one = self._judge(rows.jobs, place, section_map)
                out += [one] if one is not None else []
        return honesty(out)

    def _judge(self, jobs: Jobs, place: int, section_map: SectionMap) -> Judged | None:
        key = int(jobs.revision[place]), f"{section_map.id} {section_map.version}"
        if key not in self._judged:
            self._judged[key] = judged(self._book.case(jobs.id[place]).case, section_map)
        return self._judged[key]

    def maps(self, map_ids: Iterable[str]) -> dict[str, SectionMap]:
        """Returns the maps of these ids, as far as they are here."""
        found: dict[str, SectionMap] = {}
        for map_id in map_ids:
            with suppress(InputError, DamageError):
                found[map_id] = find_map(map_id, self._book)
        return found

    def learned(self, stop: Stop = never) -> tuple[LearnedLine, ...]:
        """Returns what proved cases taught each map in use: how many, and the priors then and before."""
        out = []
        for section_map in self.maps(word for word in self._rows(stop).jobs.map_id.words if word).values():
            go_on(stop)
            out.append(learned_line(section_map, self._learned.of(section_map)))
        return tuple(sorted((line for line in out if line.cases), key=lambda line: (-line.cases, line.map_id)))

    def _rows(self, stop: Stop) -> BookRows:
        change = self._book.last_change()
        if self._kept is None or self._kept[0] != change:
            self._kept = (change, read_rows(self._book, stop))
        return self._kept[1]

    def _with_symptoms(self, rows: BookRows) -> BookRows:
        """Returns the rows with the symptoms, which few questions need, and keeps them."""
        if len(rows.symptoms):
            return rows
        full = replace(rows, symptoms=symptoms_of(self._book.line_columns("symptom", Wanted(SYMPTOM_COLUMNS))))
        if self._kept is not None and self._kept[1] is rows:
            self._kept = (self._kept[0], full)
        return full

    def _tests(self, map_ids: Sequence[str]) -> dict[str, frozenset[str]]:
        known: dict[str, frozenset[str]] = {}
        for map_id in map_ids:
            with suppress(InputError, DamageError):
                tests = find_map(map_id, self._book).tests if map_id else ()
                known[map_id] = frozenset(name for test in tests for name in (test.id, test.name))
        return known


def _firsts(jobs: Jobs) -> list[int]:
    """Returns one case for each pair of make and family."""
    pairs = jobs.make.codes * max(1, len(jobs.family.words)) + jobs.family.codes
    return [int(place) for place in np.unique(pairs, return_index=True)[1]]


def read_rows(book: Book, stop: Stop = never) -> BookRows:
    """Returns all that the ledger counts, but for the symptoms.

    The stamps of the guard are looked for in the documents, beside the rest.
    """
    with ThreadPoolExecutor(1, thread_name_prefix="provebook-stamps") as beside:
        stamps = beside.submit(book.stamped_parts)
        jobs = jobs_of(book.case_columns(Wanted(JOB_COLUMNS, JOB_PACKED)))
        go_on(stop)
        links = links_of(book.line_columns("link", Wanted(LINK_COLUMNS)))
        go_on(stop)
        parts = parts_of(book.line_columns("part", Wanted(PART_COLUMNS, PART_PACKED)))
        go_on(stop)
        tests = tests_of(book.line_columns("test", Wanted(TEST_COLUMNS, TEST_PACKED)))
        no_symptoms = symptoms_of(((), ()))
        return BookRows(jobs, no_symptoms, links, parts, tests, tuple(stamp_row(*item) for item in stamps.result()))


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
