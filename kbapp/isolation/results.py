"""Evidence as values: results that count, lines that do not, and how a result is made from a test or a part."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.directions import Direction, touches
from kbapp.isolation.groups import Observed
from kbapp.isolation.model import Model
from kbapp.isolation.parts import PartPlace
from kbapp.isolation.strength import FLOOR, STRONG_RATIO, WEAK_RATIO, Lowered
from kbapp.records.fault import Fault
from kbapp.records.section_map import MapOutcome, MapTest
from kbapp.records.timeline import Strength

IgnoredReason = Literal[
    "free_words", "no_outcome", "outcome_unknown", "unclear", "unable", "superseded", "repeats_disagree", "too_weak",
    "part_unlinked", "section_unknown", "effect_not_evidence", "not_fitted", "after_repair",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Touch:
    """A section a result names, whether it speaks for or against it, and how strongly."""

    section: str
    direction: Direction
    strength: Strength


@dataclass(frozen=True, slots=True, eq=False)
class Result:
    """One piece of evidence: a test (with all its repeats) or a part fitted without change.

    ``likelihood`` is P(result | hypothesis) in the model's order. ``observed`` holds a test's whole table, ``cured``
    the chance per hypothesis that the part would have cured it; several parts of one section add up.
    """

    kind: Literal["test", "part"]
    name: str
    entries: tuple[str, ...]
    likelihood: Floats
    outcome: str = ""
    strength: Strength = "none"
    at: str = ""
    lowered: tuple[Lowered, ...] = ()
    touches: tuple[Touch, ...] = ()
    group: str = ""
    observed: Observed | None = None
    cured: Floats | None = None

    def touch(self, section: str) -> Touch | None:
        """Returns what the result says about a section it names, or None."""
        return next((touch for touch in self.touches if touch.section == section), None)


@dataclass(frozen=True, slots=True)
class Ignored:
    """A line that is no evidence, and why."""

    entry: str
    name: str
    reason: IgnoredReason
    detail: str = ""
    reported: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """What counts, what does not, and where the case does not fit the map."""

    results: tuple[Result, ...] = ()
    ignored: tuple[Ignored, ...] = ()
    mismatches: tuple[Fault, ...] = ()

    @property
    def tests(self) -> tuple[Result, ...]:
        """The results of tests alone."""
        return tuple(result for result in self.results if result.kind == "test")

    def naming(self, section: str) -> tuple[Result, ...]:
        """Returns the test results that name a section."""
        return tuple(result for result in self.tests if result.touch(section) is not None)

    def without(self, result: Result) -> tuple[Result, ...]:
        """Returns all results but one."""
        return tuple(other for other in self.results if other is not result)


def result_of_test(
    model: Model,
    test: MapTest,
    outcome: MapOutcome,
    strength: Strength,
    *,
    entries: Sequence[str] = (),
    at: str = "",
    lowered: tuple[Lowered, ...] = (),
) -> Result:
    """Returns the result of a test at a strength."""
    observed = Observed(model.table(test, strength), test.outcomes.index(outcome))
    return Result(
        kind="test",
        name=test.id,
        entries=tuple(entries),
        likelihood=observed.row,
        outcome=outcome.id,
        strength=strength,
        at=at,
        lowered=lowered,
        touches=tuple(Touch(*touch) for touch in touches(test, outcome, strength)),
        group=test.group,
        observed=observed,
    )


def result_of_part(model: Model, name: str, cured: Floats, *, entries: Sequence[str] = (), at: str = "") -> Result:
    """Returns the result of fitting a part without change; it speaks against the sections it would have cured."""
    against = (
        Touch(section, "against", _cure_strength(chance))
        for section, chance in zip(model.hypotheses, map(float, cured), strict=True)
        if chance > float(cured.min())
    )
    return Result(
        kind="part",
        name=name,
        entries=tuple(entries),
        likelihood=np.maximum(1.0 - cured, FLOOR),
        outcome="unchanged",
        at=at,
        touches=tuple(against),
        cured=cured,
    )


def _cure_strength(chance: float) -> Strength:
    left = max(1.0 - chance, FLOOR)
    return "strong" if left * STRONG_RATIO <= 1 else "weak" if left * WEAK_RATIO <= 1 else "none"


def cure_chances(model: Model, places: tuple[PartPlace, ...]) -> Floats:
    """Returns P(fitting the part cures | hypothesis): cure × share in its sections, incidental cure elsewhere."""
    incidental = max((place.incidental_cure for place in places), default=0.0)
    chances = np.full(len(model.hypotheses), incidental)
    for place in places:
        chances[model.index[place.section]] = place.share * place.cure + (1.0 - place.share) * place.incidental_cure
    return chances
