"""Two cases laid side by side: what they share and what differs, as plain values."""

from collections.abc import Iterator
from dataclasses import dataclass

from kbapp.records.case import Case
from kbapp.records.timeline import PartEntry, TestEntry

Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """``same``: kind and value of what both have; ``other_outcome``: test, outcome left, outcome right.

    Kinds: system, symptom, make, family, engine, code, part (fitted), test (with the same outcome), section (of the
    cause).
    """

    same: Pairs
    other_outcome: tuple[tuple[str, str, str], ...]


def compare(left: Case, right: Case) -> Comparison:
    """Returns what two cases share and which tests came out differently."""
    shared = tuple(item for item in dict.fromkeys(_facts(left)) if item in set(_facts(right)))
    ours, theirs = _outcomes(left), _outcomes(right)
    tests = [name for name in ours if name in theirs]
    same = tuple(("test", f"{name}={ours[name]}") for name in tests if ours[name] == theirs[name])
    differ = tuple((name, ours[name], theirs[name]) for name in tests if ours[name] != theirs[name])
    return Comparison((*shared, *same), differ)


def _facts(case: Case) -> Iterator[tuple[str, str]]:
    if case.concern.system:
        yield "system", case.concern.system
    yield from (("symptom", symptom) for symptom in case.concern.symptoms)
    vehicle = case.vehicle
    for kind in ("make", "family", "engine"):
        if vehicle is not None and getattr(vehicle, kind):
            yield kind, getattr(vehicle, kind)
    yield from (("code", code.code) for code in case.codes)
    for entry in case.timeline:
        if isinstance(entry, PartEntry) and entry.stage == "fitted":
            yield "part", " ".join(filter(None, (entry.part, entry.position)))
    if case.cause is not None and case.cause.section:
        yield "section", case.cause.section


def _outcomes(case: Case) -> dict[str, str]:
    """Returns the last outcome of each test that was done."""
    return {
        entry.test: entry.outcome
        for entry in case.timeline
        if isinstance(entry, TestEntry) and entry.status == "done" and entry.outcome
    }
