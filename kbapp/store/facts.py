"""Reads the projection as plain facts, a line each, for facets, the ledger and learned priors: cases in view only."""

from dataclasses import dataclass
from typing import Any, Final, Literal, cast

from sqlalchemy import Connection, Select, func, select

from kbapp.records.vocabulary import State, System
from kbapp.store.heads import IN_VIEW
from kbapp.store.tables import cases, code, part, symptom, test
from kbapp.store.values import Origin

FacetField = Literal[
    "system", "state", "symptom", "make", "family", "generation", "engine", "code", "cause_section", "origin"
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class CaseFacts:
    """What a fact's case is. Days are ISO dates, ``signed_at`` is as written; blank where unknown."""

    case_id: str
    number: str
    state: State
    signed_here: bool
    origin: Origin
    system: System | None
    make: str
    family: str
    generation: str
    engine: str
    opened_day: str
    signed_at: str
    map_id: str
    map_version: int | None
    cause_section: str
    cause_part: str
    cause_position: str
    cause_separated: bool | None


@dataclass(frozen=True, slots=True)
class PartFact:
    """One part of a timeline. ``effect`` and ``currency`` are blank, ``cost`` None where not recorded."""

    case: CaseFacts
    entry: str
    part: str
    position: str
    section: str
    stage: str
    purpose: str
    effect: str
    cost: float | None
    currency: str
    labour_minutes: float | None
    at: str
    by: str
    source: str


@dataclass(frozen=True, slots=True)
class TestFact:
    """One test of a timeline."""

    __test__ = False  # not a test case for pytest
    case: CaseFacts
    entry: str
    test: str
    isolates: str
    outcome: str
    status: str
    strength: str
    minutes: float | None
    at: str
    by: str
    source: str


@dataclass(frozen=True, slots=True)
class CauseFact:
    """One case with its symptoms, for counting causes."""

    case: CaseFacts
    symptoms: tuple[str, ...]


_CASE: Final = (
    cases.c.id.label("case_id"),
    *(cases.c[name] for name in CaseFacts.__dataclass_fields__ if name != "case_id"),
)
_WIDTH: Final = len(_CASE)
_PART: Final = tuple(part.c[name] for name in PartFact.__dataclass_fields__ if name != "case")
_TEST: Final = tuple(test.c[name] for name in TestFact.__dataclass_fields__ if name != "case")


def _in_view(query: Select[Any], map_id: str) -> Select[Any]:
    query = query.where(IN_VIEW).order_by(cases.c.change)
    return query.where(cases.c.map_id == map_id) if map_id else query


def part_facts(connection: Connection, map_id: str) -> tuple[PartFact, ...]:
    """Returns every part of the cases in view (of one map, blank for all), by case and in the order of the timeline."""
    query = _in_view(select(*_CASE, *_PART).join(part, part.c.revision == cases.c.revision), map_id)
    rows = connection.execute(query.order_by(part.c.line))
    return tuple(PartFact(CaseFacts(*row[:_WIDTH]), *row[_WIDTH:]) for row in rows)


def test_facts(connection: Connection, map_id: str) -> tuple[TestFact, ...]:
    """Returns every test of the cases in view (of one map, blank for all), by case and in the order of the timeline."""
    query = _in_view(select(*_CASE, *_TEST).join(test, test.c.revision == cases.c.revision), map_id)
    rows = connection.execute(query.order_by(test.c.line))
    return tuple(TestFact(CaseFacts(*row[:_WIDTH]), *row[_WIDTH:]) for row in rows)


def cause_facts(connection: Connection, map_id: str) -> tuple[CauseFact, ...]:
    """Returns every case in view (of one map, blank for all) with its symptoms, whether its cause is known or not."""
    terms = dict[int, list[str]]()
    lines = select(symptom.c.revision, symptom.c.term).order_by(symptom.c.revision, symptom.c.line)
    for number, term in connection.execute(lines):
        terms.setdefault(number, []).append(term)
    rows = connection.execute(_in_view(select(*_CASE, cases.c.revision), map_id))
    return tuple(CauseFact(CaseFacts(*row[:_WIDTH]), tuple(terms.get(row[_WIDTH], ()))) for row in rows)


def facet_counts(connection: Connection, field: FacetField) -> tuple[tuple[str, int], ...]:
    """Returns how many cases in view have each value of a field, the most frequent first."""
    inner = {"symptom": symptom.c.term, "code": code.c.code}
    query: Select[Any]
    if field in inner:
        column = inner[field]
        how_many = func.count(cases.c.id.distinct())
        query = select(column, how_many).join(cases, column.table.c.revision == cases.c.revision)
    else:
        column, how_many = cases.c[field], func.count(cases.c.id)
        query = select(column, how_many)
    query = query.where(IN_VIEW, column != "").group_by(column).order_by(how_many.desc(), column)
    return tuple((cast("str", value), int(count)) for value, count in connection.execute(query))
