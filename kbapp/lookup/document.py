"""A case as the index keeps it: weighted words, plain spellings, structured facts, and a card to show it by."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from kbapp.lookup import marks
from kbapp.lookup.marks import mark
from kbapp.lookup.source import SourceCase
from kbapp.lookup.spotting import spot
from kbapp.lookup.words import tokens
from kbapp.records.case import Case, Vehicle
from kbapp.records.codes import parse_code
from kbapp.records.moment import parse_moment
from kbapp.records.timeline import PartEntry, TestEntry

FIELD_WEIGHTS: Final[dict[str, int]] = {
    "concern": 4,
    "cause": 4,
    "symptoms": 3,
    "codes": 3,
    "correction": 2,
    "parts": 2,
    "tests": 2,
    "lesson": 2,
    "conditions": 1,
    "vehicle": 1,
    "findings": 1,
    "notes": 1,
    "number": 1,
}
"""How often a word of a field counts. A word's weight in a case is the sum over the fields it stands in (BM25F)."""

LONGEST_INDEXED: Final = 20_000
"""Characters of one field that are indexed; longer running text is kept in the book, and searched up to here."""

LONGEST_CONCERN: Final = 1000
"""Characters of a concern in which concerns of the vocabulary are recognised."""
MOST_SPOTTED: Final = 3
LEAST_SPOTTED: Final = 0.4

_VOID_TESTS: Final = ("unclear", "unable")


@dataclass(frozen=True, slots=True)
class Document:
    """What is written for one case. ``opened`` counts days since 1970; ``card`` is shown and quoted from."""

    case_id: str
    weights: dict[str, int]
    plain: frozenset[str]
    marks: frozenset[str]
    number: str
    opened: int
    card: dict[str, Any]


def describe(found: SourceCase) -> Document:
    """Returns the document of a case that exists.

    Raises:
        ValueError: the change removed the case.
    """
    case = found.case
    if case is None:
        raise ValueError(found.case_id)
    texts = {name: text[:LONGEST_INDEXED] for name, text in _texts(case).items() if text}
    weights: Counter[str] = Counter()
    plain: set[str] = set()
    for name, text in texts.items():
        weight = FIELD_WEIGHTS[name]
        for token in tokens(text):
            if token.word.stop:
                continue
            for term in (*token.word.terms, *token.extra):
                weights[term] += weight
            plain.update(token.word.plain)
    return Document(
        found.case_id,
        dict(weights),
        frozenset(plain),
        frozenset(_marks(case, signed_here=found.signed_here)),
        case.number.strip().casefold(),
        _day(case),
        _card(case, texts, signed_here=found.signed_here),
    )


def _texts(case: Case) -> dict[str, str]:
    cause, correction = case.cause, case.correction
    entries = case.timeline
    return {
        "concern": case.concern.text,
        "symptoms": "; ".join(case.concern.symptoms),
        "codes": "; ".join(f"{code.code} {code.module}".strip() for code in case.codes),
        "conditions": "; ".join((*case.concern.conditions, case.concern.began)).strip("; "),
        "cause": _joined(cause.text, cause.part, cause.position, cause.section) if cause else "",
        "correction": _joined(
            correction.text,
            *(f"{part.part} {part.position} {part.number}".strip() for part in correction.parts),
            *correction.services,
        )
        if correction
        else "",
        "parts": "; ".join(_part_text(entry) for entry in entries if isinstance(entry, PartEntry)),
        "tests": "; ".join(_test_text(entry) for entry in entries if isinstance(entry, TestEntry)),
        "findings": "\n".join(
            entry.text for entry in entries if entry.kind in ("finding", "note", "service") and entry.text
        ),
        "lesson": case.lesson,
        "vehicle": vehicle_text(case.vehicle),
        "notes": case.notes,
        "number": case.number,
    }


def _joined(*texts: str) -> str:
    """Returns the texts a line each, leaving out what an earlier one already says."""
    kept: list[str] = []
    for text in texts:
        if text and not any(text.casefold() in earlier.casefold() for earlier in kept):
            kept.append(text)
    return "\n".join(kept)


def _part_text(entry: PartEntry) -> str:
    return " ".join(filter(None, (entry.part, entry.position, entry.found, entry.reason, entry.text)))


def _test_text(entry: TestEntry) -> str:
    words = f"{entry.test}: {entry.outcome}" if entry.outcome else entry.test
    return " ".join(filter(None, (words.replace("_", " "), entry.isolates, entry.why, entry.text)))


def vehicle_text(vehicle: Vehicle | None) -> str:
    """Returns a vehicle in one line: make, family, generation, year, engine."""
    if vehicle is None:
        return ""
    year = str(vehicle.model_year or "")
    return " ".join(filter(None, (vehicle.make, vehicle.family, vehicle.generation, year, vehicle.engine)))


def _day(case: Case) -> int:
    moments = [case.opened, *(entry.at for entry in case.timeline), case.concern.since]
    known = next((moment for moment in moments if moment), None)
    return parse_moment(known).toordinal() - 719_163 if known else 0


def _card(case: Case, texts: dict[str, str], *, signed_here: bool) -> dict[str, Any]:
    return {
        "number": case.number,
        "state": case.state,
        "concern": case.concern.text,
        "vehicle": vehicle_text(case.vehicle),
        "cause": case.cause.text if case.cause else "",
        "signed": signed_here,
        "texts": texts,
    }


def _marks(case: Case, *, signed_here: bool) -> Iterator[str]:
    yield mark("state", case.state)
    if signed_here:
        yield mark(marks.SIGNED, "here")
    if case.concern.system:
        yield mark("system", case.concern.system)
    yield from (mark("symptom", symptom) for symptom in case.concern.symptoms)
    yield from _spotted_marks(case)
    yield from (mark("code", plain_code(code.code)) for code in case.codes)
    if case.cause and case.cause.section:
        yield mark("cause_section", case.cause.section)
    yield from _vehicle_marks(case.vehicle)
    yield from _part_marks(case)
    yield from _test_marks(case)


def _spotted_marks(case: Case) -> Iterator[str]:
    stated = {symptom.casefold() for symptom in case.concern.symptoms}
    for one in spot(case.concern.text[:LONGEST_CONCERN])[:MOST_SPOTTED]:
        if one.weight >= LEAST_SPOTTED and one.concern.casefold() not in stated:
            yield mark(marks.SPOTTED, one.concern)


def plain_code(text: str) -> str:
    """Returns a trouble code in its usual form without the failure type; a code of another form in capitals."""
    code = parse_code(text)
    return code.base if code else text.strip().upper()


def _vehicle_marks(vehicle: Vehicle | None) -> Iterator[str]:
    if vehicle is None:
        return
    named = {
        "make": vehicle.make,
        "family": vehicle.family,
        "generation": vehicle.generation,
        "engine": vehicle.engine,
    }
    yield from (mark(kind, value) for kind, value in named.items() if value)
    values = (vehicle.make, vehicle.family, vehicle.platform, vehicle.generation, vehicle.engine)
    if any(values):
        yield mark(marks.VEHICLE, *values)


def _part_marks(case: Case) -> Iterator[str]:
    for entry in case.timeline:
        if isinstance(entry, PartEntry) and entry.stage == "fitted":
            if entry.effect in ("unchanged", "worse"):
                yield mark(marks.TRIED, entry.part)
            elif entry.effect == "gone":
                yield mark(marks.CURED, entry.part)
    if case.cause and case.cause.part:
        yield mark(marks.CURED, case.cause.part)


def _test_marks(case: Case) -> Iterator[str]:
    """Yields the results that count as evidence: done, not superseded, before any retest."""
    entries = [entry for entry in case.timeline if isinstance(entry, TestEntry)]
    superseded = {entry.supersedes for entry in entries if entry.supersedes}
    for entry in entries:
        if entry.outcome and entry.status not in _VOID_TESTS and entry.id not in superseded:
            yield mark(marks.TEST, entry.test, entry.outcome, entry.isolates)
