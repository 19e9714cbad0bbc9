"""What a repaired case lacks: what the lead's signature needs, and what makes it be found again."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.app.still_on import still_on
from kbapp.isolation.retest import baselines, missing_proof
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.records.symptoms import symptom
from kbapp.records.timeline import FindingEntry, PartEntry, TestEntry

LackCode = Literal[
    "not_repaired",
    "still_on",
    "no_cause",
    "no_retest",
    "no_baseline",
    "not_passed",
    "other_conditions",
    "changed_since",
]
Check = Literal["concern", "test", "cause", "correction", "retest", "words"]
CHECKS: Final[tuple[Check, ...]] = ("concern", "test", "cause", "correction", "retest", "words")
_ENOUGH_WORDS: Final = 4
"""A concern of fewer words is rarely found again (common practice)."""


@dataclass(frozen=True, slots=True)
class Lack:
    """Something without which a case cannot be proved; ``what`` names it where there is a name."""

    code: LackCode
    what: str = ""


@dataclass(frozen=True, slots=True)
class WritingCheck:
    """Whether one thing is written that lets the case be found again and understood."""

    name: Check
    done: bool


def lacks(case: Case, section_map: SectionMap | None) -> tuple[Lack, ...]:
    """Returns what a case lacks to be proved, in the order to see to it; nothing where it only wants signing."""
    return tuple(_lacks(case, section_map))


def _lacks(case: Case, section_map: SectionMap | None) -> Iterator[Lack]:
    if case.state == "open":
        yield Lack("not_repaired")
    left = still_on(case, section_map)
    if left:
        yield Lack("still_on", "; ".join(item.what for item in left))
    if case.cause is None or not case.cause.text.strip():
        yield Lack("no_cause")
    missing = missing_proof(case)
    if missing is not None:
        yield Lack(missing)


def writing_checks(case: Case) -> tuple[WritingCheck, ...]:
    """Returns what is and is not written, in the order of the case."""
    done: dict[Check, bool] = {
        "concern": len(case.concern.text.split()) >= _ENOUGH_WORDS,
        "test": _has_discriminating_test(case),
        "cause": case.cause is not None,
        "correction": case.correction is not None and bool(case.correction.text or case.correction.parts),
        "retest": missing_proof(case) is None,
        "words": any(symptom(term) is not None for term in case.concern.symptoms),
    }
    return tuple(WritingCheck(name, done[name]) for name in CHECKS)


def _has_discriminating_test(case: Case) -> bool:
    """Returns whether a test with an outcome, or a finding that names sections, split the fault."""
    tests = any(isinstance(entry, TestEntry) and entry.outcome for _, entry in baselines(case))
    return tests or any(isinstance(entry, FindingEntry) and (entry.sections or entry.text) for entry in case.timeline)


def overrides(case: Case) -> tuple[tuple[int, PartEntry], ...]:
    """Returns the parts that were fitted against the swap guard, with their line (from 1)."""
    return tuple(
        (n, entry)
        for n, entry in enumerate(case.timeline, 1)
        if isinstance(entry, PartEntry) and entry.override is not None
    )
