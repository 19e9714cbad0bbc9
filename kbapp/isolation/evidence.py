"""Reads a timeline as evidence: what counts, how strongly, for and against which sections, and what does not count."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.directions import Direction, touches
from kbapp.isolation.groups import Observed
from kbapp.isolation.model import Model
from kbapp.isolation.parts import PartPlace, places_of, same_part
from kbapp.isolation.repaired import is_repair, repair_index
from kbapp.isolation.strength import FLOOR, Lowered, effective, highest
from kbapp.records.case import Case
from kbapp.records.fault import Fault, shorten
from kbapp.records.likelihood import stated_strength
from kbapp.records.section_map import MapOutcome, MapTest
from kbapp.records.timeline import PartEntry, Strength, TestEntry, TimelineEntry

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


@dataclass(slots=True)
class _Gathering:
    model: Model
    results: list[Result] = field(default_factory=list)
    ignored: list[Ignored] = field(default_factory=list)
    mismatches: list[Fault] = field(default_factory=list)
    runs: dict[str, list["_Run"]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Run:
    """One usable line of a test."""

    entry: TestEntry
    test: MapTest
    outcome: MapOutcome
    strength: Strength
    lowered: tuple[Lowered, ...]


_NO_EFFECT: Final = ("better", "worse", "gone", "not_checked", None)


def gather(case: Case, model: Model, upto: int | None = None) -> Evidence:
    """Returns the evidence of a case's timeline, or of its first ``upto`` lines, in the order of the lines.

    Lines from the repair on (the part after which the concern was gone, or a passed retest) never count.
    """
    lines = list(enumerate(case.timeline[:upto]))
    end = repair_index(case)
    gathering = _Gathering(model)
    for _, entry in lines[end:]:
        if isinstance(entry, (TestEntry, PartEntry)) and not is_repair(entry):
            gathering.ignored.append(Ignored(entry.id, _name(entry), "after_repair"))
    before = lines[:end]
    superseded = _superseded([entry for _, entry in before])
    for n, entry in before:
        if isinstance(entry, TestEntry):
            _take_test(gathering, n, entry, superseded)
        elif isinstance(entry, PartEntry):
            _take_part(gathering, n, entry)
    _close_runs(gathering)
    order = {entry.id: n for n, entry in before}
    results = sorted(gathering.results, key=lambda result: order[result.entries[0]])
    return Evidence(tuple(results), tuple(gathering.ignored), tuple(gathering.mismatches))


def _name(entry: TestEntry | PartEntry) -> str:
    return entry.test if isinstance(entry, TestEntry) else entry.part


def _superseded(entries: Sequence[TimelineEntry]) -> frozenset[str]:
    """Returns the ids of lines a later line supersedes."""
    seen: set[str] = set()
    gone: set[str] = set()
    for entry in entries:
        if isinstance(entry, TestEntry) and entry.supersedes in seen and entry.supersedes is not None:
            gone.add(entry.supersedes)
        seen.add(entry.id)
    return frozenset(gone)


def _take_test(gathering: _Gathering, n: int, entry: TestEntry, superseded: frozenset[str]) -> None:
    test = gathering.model.find_test(entry.test)
    reason = _no_evidence(entry, test, superseded)
    if reason is not None or test is None:
        name = test.id if test is not None else entry.test
        reported = entry.source == "reported"
        gathering.ignored.append(Ignored(entry.id, name, reason or "free_words", entry.why, reported))
        return
    outcome = _find_outcome(test, entry.outcome)
    if outcome is None:
        expected = ", ".join(outcome.id for outcome in test.outcomes)
        gathering.mismatches.append(
            Fault(f"timeline.{n}.outcome", "case_outcome_unknown", shorten(entry.outcome), shorten(expected))
        )
        gathering.ignored.append(Ignored(entry.id, test.id, "outcome_unknown", entry.outcome))
        return
    strength, lowered = effective(stated_strength(test), test, entry)
    if strength == "none":
        gathering.ignored.append(Ignored(entry.id, test.id, "too_weak", ", ".join(lowered)))
        return
    gathering.runs.setdefault(test.id, []).append(_Run(entry, test, outcome, strength, lowered))


def _no_evidence(entry: TestEntry, test: MapTest | None, superseded: frozenset[str]) -> IgnoredReason | None:
    if test is None:
        return "free_words"
    if entry.id in superseded:
        return "superseded"
    if entry.status != "done":
        return entry.status
    return None if entry.outcome.strip() else "no_outcome"


def _find_outcome(test: MapTest, words: str) -> MapOutcome | None:
    folded = words.strip().casefold()
    by_name = (outcome for outcome in test.outcomes if outcome.name.casefold() == folded)
    return test.outcome(words) or next(by_name, None)


def _close_runs(gathering: _Gathering) -> None:
    """Makes one result of each test's repeats; repeats that disagree are unclear."""
    for runs in gathering.runs.values():
        if len({run.outcome.id for run in runs}) > 1:
            gathering.ignored += [
                Ignored(run.entry.id, run.test.id, "repeats_disagree", run.outcome.id) for run in runs
            ]
        else:
            gathering.results.append(_result(gathering.model, runs))


def _result(model: Model, runs: list[_Run]) -> Result:
    strength = highest(run.strength for run in runs)
    best = next(run for run in runs if run.strength == strength)
    test, outcome = best.test, best.outcome
    observed = Observed(model.table(test, strength), test.outcomes.index(outcome))
    return Result(
        kind="test",
        name=test.id,
        entries=tuple(run.entry.id for run in runs),
        likelihood=observed.row,
        outcome=outcome.id,
        strength=strength,
        at=best.entry.at or "",
        lowered=best.lowered,
        touches=tuple(Touch(*touch) for touch in touches(test, outcome, strength)),
        group=test.group,
        observed=observed,
    )


def _take_part(gathering: _Gathering, n: int, entry: PartEntry) -> None:
    section_map = gathering.model.section_map
    if entry.section and section_map.section(entry.section) is None:
        gathering.mismatches.append(
            Fault(f"timeline.{n}.section", "case_section_unknown", shorten(entry.section), section_map.id)
        )
    places = places_of(section_map, entry)
    reason = _no_part_evidence(entry, places)
    if reason is not None:
        gathering.ignored.append(Ignored(entry.id, entry.part, reason, entry.effect or ""))
        return
    cured = cure_chances(gathering.model, places)
    for n_result, known in enumerate(gathering.results):
        if _same_part_again(gathering.model, known, entry, cured):
            gathering.results[n_result] = replace(known, entries=(*known.entries, entry.id))
            return
    gathering.results.append(
        Result(
            kind="part",
            name=entry.part,
            entries=(entry.id,),
            likelihood=np.maximum(1.0 - cured, FLOOR),
            outcome="unchanged",
            at=entry.at or "",
            cured=cured,
        )
    )


def _same_part_again(model: Model, known: Result, entry: PartEntry, cured: Floats) -> bool:
    """Returns whether a part was fitted before in the same place: a second one says no more than the first."""
    if known.cured is None or not np.array_equal(known.cured, cured):
        return False
    return same_part(known.name, entry.part, model.section_map)


def _no_part_evidence(entry: PartEntry, places: tuple[PartPlace, ...]) -> IgnoredReason | None:
    if entry.stage != "fitted":
        return "not_fitted"
    if entry.effect in _NO_EFFECT:
        return "effect_not_evidence"
    if not places:
        return "section_unknown" if entry.section else "part_unlinked"
    return None


def cure_chances(model: Model, places: tuple[PartPlace, ...]) -> Floats:
    """Returns P(fitting the part cures | hypothesis): cure × share in its sections, incidental cure elsewhere."""
    incidental = max((place.incidental_cure for place in places), default=0.0)
    chances = np.full(len(model.hypotheses), incidental)
    for place in places:
        chances[model.index[place.section]] = place.share * place.cure + (1.0 - place.share) * place.incidental_cure
    return chances
