"""Small books for the ledger, written short: real cases, in a real book or as its projection would have them."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any
from uuid import UUID

from sqlalchemy import Table

from kbapp.app.ledger import LedgerDesk, stamp_row
from kbapp.ledger.question import LedgerQuestion
from kbapp.ledger.report import BookRows, Ledger, Surroundings, ledger
from kbapp.ledger.rows import (
    JOB_COLUMNS,
    JOB_PACKED,
    LINK_COLUMNS,
    PACKED_BY,
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
from kbapp.records.case import CASE_FORMAT, Case, Shop
from kbapp.records.case_document import check_case
from kbapp.records.timeline import PartEntry
from kbapp.store import tables
from kbapp.store.book import Book, create_book
from kbapp.store.projection import case_row, line_rows
from kbapp.store.values import Origin

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
TODAY = "2026-06-01"
Json = dict[str, Any]


def case_id(n: int) -> str:
    return str(UUID(int=n, version=4))


def fitted(part: str, effect: str = "unchanged", cost: float | None = 100, **more: Any) -> Json:
    """Returns a part fitted to find the fault."""
    currency = more.pop("currency", "EUR")
    money = {} if cost is None else {"cost": {"value": cost, "currency": currency}}
    return {"kind": "part", "part": part, "effect": effect, "labour_minutes": 30, **money, **more}


def tried(test: str, outcome: str = "bad", isolates: str = "front", **more: Any) -> Json:
    """Returns a test that split something."""
    return {"kind": "test", "test": test, "outcome": outcome, "isolates": isolates, "minutes": 10, **more}


def job(n: int, *timeline: Json, cause: str = "hose", **fields: Any) -> Case:
    """Returns the proved case number ``n`` with this timeline."""
    document = {
        "format": CASE_FORMAT, "id": case_id(n), "number": f"2026-{n:04d}", "state": "proved", "opened": "2026-01-15",
        "concern": {"text": "low pedal", "system": "brakes_hydraulic", "symptoms": ["low pedal"]},
        "vehicle": {"make": "Kestrow", "family": "Lindle"},
        "timeline": [{"id": f"e{n}", **line} for n, line in enumerate(timeline, 1)],
        "cause": {"text": cause, "section": "front", "part": cause},
        "retest": [{"id": "r1", "result": "passed"}],
        "sign_off": {"by": "MH", "at": "2026-01-20"},
        **fields,
    }  # fmt: skip
    return check_case(json.loads(json.dumps({k: v for k, v in document.items() if v is not None}))).unwrap()


def book_of(folder: Path, *cases: Case, origin: Origin = "own") -> Book:
    """Makes a book of these cases."""
    book = create_book(str(folder / "book"), SHOP, author="IK")
    if cases:
        book.add_many(cases, origin=origin)
    return book


def ask(book: Book, **question: Any) -> Ledger:
    """Asks the ledger as of a fixed day."""
    return LedgerDesk(book).ask(LedgerQuestion(**question), "EUR", today=TODAY)


def ledger_of(*cases: Case, origin: Origin = "own", **question: Any) -> Ledger:
    """Returns the ledger over these cases, as a book would have them in its projection."""
    heads = [_head(n, case, origin) for n, case in enumerate(cases, 1)]
    rows = BookRows(
        jobs=jobs_of(_columns(heads, JOB_COLUMNS, JOB_PACKED)),
        symptoms=symptoms_of(_columns(_lines(tables.symptom, cases), SYMPTOM_COLUMNS)),
        links=links_of(_columns(_lines(tables.link, cases), LINK_COLUMNS)),
        parts=parts_of(_columns(_lines(tables.part, cases), PART_COLUMNS, PART_PACKED)),
        tests=tests_of(_columns(_lines(tables.test, cases), TEST_COLUMNS, TEST_PACKED)),
        stamps=tuple(stamp for case in cases for stamp in _stamps(case)),
    )
    return ledger(rows, LedgerQuestion(**question), Surroundings("EUR", TODAY))


def _head(n: int, case: Case, origin: Origin) -> Json:
    signed = case.state == "proved" and origin != "outside"
    return {**case_row(case), "revision": n, "signed_here": signed, "origin": origin}


def _lines(table: Table, cases: Sequence[Case]) -> list[Json]:
    return [{"revision": n, **line} for n, case in enumerate(cases, 1) for line in line_rows(case)[table]]


def _columns(rows: Sequence[Json], single: Sequence[str], packed: Sequence[Sequence[str]] = ()) -> list[list[Any]]:
    together = [[PACKED_BY.join(row[name] or "" for name in names) for row in rows] for names in packed]
    return [*([row[name] for row in rows] for name in single), *together]


def _stamps(case: Case) -> list[GuardRow]:
    return [
        stamp_row(case.id, entry.plain()) for entry in case.timeline if isinstance(entry, PartEntry) and entry.guard
    ]
