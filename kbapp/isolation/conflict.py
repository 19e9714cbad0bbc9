"""Notices when no single section explains the strong results, and names the smallest sets of faults that would."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.hitting_sets import minimal_hitting_sets
from kbapp.isolation.model import Model
from kbapp.isolation.results import Evidence, Result
from kbapp.isolation.strength import STRONG_RATIO
from kbapp.records.section_map import NOT_ON_MAP

MOST_FAULTS: Final = 3
"""Larger sets are not offered: testing again is cheaper than believing in four faults."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """``results``: entries of the strong results no section fits together; ``explanations``: smallest sets of sections.

    ``repeat``: the conflicting test that is cheapest to repeat, and its hands-on minutes.
    """

    tests: tuple[str, ...]
    entries: tuple[str, ...]
    repeat: str
    repeat_minutes: float
    explanations: tuple[tuple[str, ...], ...]


def find_conflict(model: Model, evidence: Evidence) -> Conflict | None:
    """Returns the conflict among the strong test results, None where one section or "not on this map" fits them all."""
    strong = [result for result in evidence.tests if result.strength == "strong"]
    fits = np.array([fitting(result) for result in strong], dtype=bool).reshape(len(strong), len(model.hypotheses))
    if fits.all(axis=0).any():
        return None
    culprits = _smallest_core(fits)
    involved = [strong[n] for n in culprits]
    minutes = {result.name: _minutes(model, result) for result in involved}
    repeat = min(minutes, key=lambda name: (minutes[name], name))
    return Conflict(
        tests=tuple(result.name for result in involved),
        entries=tuple(entry for result in involved for entry in result.entries),
        repeat=repeat,
        repeat_minutes=minutes[repeat],
        explanations=explaining_sets(model, strong),
    )


def fitting(result: Result) -> Floats:
    """Returns, per hypothesis, whether it fits a result: its likelihood is not strongly below the best one's."""
    return np.asarray(result.likelihood * STRONG_RATIO > result.likelihood.max())


def explaining_sets(model: Model, strong: Sequence[Result]) -> tuple[tuple[str, ...], ...]:
    """Returns the smallest sets of sections that explain every strong result together, in the map's order.

    A result for sections needs one of them in the set; a result against sections keeps them out of it. Where that
    leaves nothing, results against are not allowed to rule a section out that a result for it needs.
    """
    needs = [_names(model, result, "for") for result in strong if _points(result)]
    ruled_out = {name for result in strong for name in _names(model, result, "against")}
    sets = minimal_hitting_sets([need - ruled_out for need in needs], MOST_FAULTS)
    if not sets:
        sets = minimal_hitting_sets(needs, MOST_FAULTS)
    return tuple(tuple(sorted(names, key=model.index.__getitem__)) for names in sets if names)


def _points(result: Result) -> bool:
    return any(touch.direction == "for" for touch in result.touches)


def _names(model: Model, result: Result, direction: str) -> set[str]:
    if direction == "for":
        fits = fitting(result)
        return {name for n, name in enumerate(model.hypotheses) if fits[n] and name != NOT_ON_MAP}
    return {touch.section for touch in result.touches if touch.direction == "against" and touch.strength == "strong"}


def _smallest_core(fits: Floats) -> list[int]:
    """Returns the positions of results that cannot be fitted together, none of which can be left out."""
    core = list(range(fits.shape[0]))
    for n in range(fits.shape[0]):
        rest = [m for m in core if m != n]
        if rest and not fits[rest].all(axis=0).any():
            core = rest
    return core


def _minutes(model: Model, result: Result) -> float:
    test = model.section_map.test(result.name)
    return test.setup_minutes + test.run_minutes + test.restore_minutes if test is not None else 0.0
