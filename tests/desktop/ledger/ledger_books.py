"""A book worth counting: cases with a map, stamps of the guard, two currencies, a comeback."""

from pathlib import Path

from kbapp.maps.shipped import shipped_map
from kbapp.records.case import Case
from tests.ledger.books import book_of, case_id, fitted, job, tried

MAP = "engine-overheating"


def mapped(n: int, section: str = "flow") -> Case:
    """Returns a proved case worked with a shipped map."""
    first = shipped_map(MAP).tests[0]
    case = job(
        n,
        fitted("thermostat", source="reported", cost=60, at="2025-03"),
        tried(first.id, first.outcomes[0].id, isolates=""),
        fitted("water pump", "gone", 145, guard={"warnings": [{"rule": "unsupported", "weight": "caution"}]}),
        cause="water pump", map={"id": MAP},
        concern={"text": "overheats in traffic", "system": "hvac_cooling", "symptoms": ["overheats"]},
    )  # fmt: skip
    assert case.cause is not None
    return case.model_copy(update={"cause": case.cause.model_copy(update={"section": section})})


def worked_book(folder: Path) -> str:
    """Makes a book of 24 mapped cases and some others, and returns its place."""
    came = job(41, fitted("hose", "gone", 20), state="came_back", links=[{"kind": "came_back_as", "case": case_id(42)}])
    others = [
        came,
        job(42, tried("clamp all"), fitted("caliper", "gone", 90, currency="CHF"), opened="2026-03-01"),
        job(43, fitted("pump", "unchanged", 50, currency="CHF", at="2025-05"), tried("clamp all")),
        job(44, state="open"),
    ]
    book_of(folder, *(mapped(n) for n in range(1, 25)), *others).close()
    return str(folder / "book")
