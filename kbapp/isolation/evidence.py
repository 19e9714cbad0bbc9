"""Reads a timeline as evidence: what counts, how strongly, for and against which sections, and what does not count."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.model import Model
from kbapp.isolation.parts import PartPlace, places_of, same_part
from kbapp.isolation.repaired import is_repair, repair_index
from kbapp.isolation.results import (
    Evidence,
    Ignored,
    IgnoredReason,
    Result,
    cure_chances,
    result_of_part,
    result_of_test,
)
from kbapp.isolation.strength import Lowered, effective, highest
from kbapp.records.case import Case
from kbapp.records.fault import Fault, shorten
from kbapp.records.likelihood import stated_strength
from kbapp.records.section_map import MapOutcome, MapTest
from kbapp.records.timeline import PartEntry, Strength, TestEntry, TimelineEntry


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
    for _, entry in lines[end:] if end is not None else ():
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
    return result_of_test(
        model,
        best.test,
        best.outcome,
        strength,
        entries=[run.entry.id for run in runs],
        at=best.entry.at or "",
        lowered=best.lowered,
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
    gathering.results.append(result_of_part(gathering.model, entry.part, cured, entries=[entry.id], at=entry.at or ""))


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
