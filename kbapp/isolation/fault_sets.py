"""Several faults at once: shares of sets of sections, where single faults explain the results badly.

Effects combine as noisy-OR: each section of a set can produce a test's first outcome by its own, beside what happens
anyway (the leak). For tests whose first outcome needs every fault inside (``combine: all``: a branch is disconnected
and the trouble goes), the least likely member decides.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np

from kbapp.isolation.arrays import Floats, normalised
from kbapp.isolation.groups import Observed, SharedErrors, joint, shared_errors
from kbapp.isolation.model import Model
from kbapp.isolation.results import Result
from kbapp.isolation.strength import FLOOR, floored
from kbapp.records.section_map import NOT_ON_MAP

TWO_FAULTS: Final = 0.05
"""The share of vehicles with two faults for one concern before any test. Trade judgement."""


@dataclass(frozen=True, slots=True)
class FaultSet:
    """A set of sections at fault together and its share among all sets considered."""

    sections: tuple[str, ...]
    share: float


def noisy_or(leak: float | Floats, weights: Floats, present: Floats) -> Floats:
    """Returns P(effect) for rows of ``present`` (sets × causes, 0 or 1): 1 − (1 − leak) Π (1 − weight)."""
    kept = np.where(present > 0, 1.0 - weights, 1.0).prod(axis=-1)
    return np.asarray(1.0 - (1.0 - np.asarray(leak)) * kept, dtype=np.float64)


def all_sets(causes: int, most: int) -> Floats:
    """Returns every set of at most ``most`` of ``causes`` causes as rows of 0 and 1, the empty one first."""
    rows = [np.zeros(causes)]
    for size in range(1, most + 1):
        for members in combinations(range(causes), size):
            row = np.zeros(causes)
            row[list(members)] = 1.0
            rows.append(row)
    return np.stack(rows)


def two_fault_posterior(model: Model, results: Sequence[Result], most: int = 10) -> tuple[FaultSet, ...]:
    """Returns the likeliest single and double faults, at most ``most``, by share over all of them."""
    sets = all_sets(len(model.hypotheses), 2)[1:]
    total = _log_prior(model, sets)
    groups: dict[str, list[Observed]] = {}
    for result in results:
        if result.group and result.observed is not None and result.observed.table.shape[0] == 2:
            table = _set_table(model, result.name, result.observed.table, sets)
            groups.setdefault(result.group, []).append(Observed(table, result.observed.outcome))
        else:
            total = total + np.log(np.maximum(_likelihood(model, result, sets), FLOOR))
    for group, observed in groups.items():
        total = total + np.log(np.maximum(joint(observed, _shared(model, group, sets)), FLOOR))
    shares = np.exp(normalised(total))
    best = np.argsort(-shares, kind="stable")[:most]
    return tuple(FaultSet(_names(model, sets[n]), float(shares[n])) for n in best)


def _shared(model: Model, group: str, sets: Floats) -> SharedErrors:
    tests = [test.id for test in model.section_map.tests if test.group == group and len(test.outcomes) == 2]
    return shared_errors([_set_table(model, test, floored(model.tables[test]), sets) for test in tests])


def _names(model: Model, row: Floats) -> tuple[str, ...]:
    return tuple(name for name, present in zip(model.hypotheses, row, strict=True) if present)


def _log_prior(model: Model, sets: Floats) -> Floats:
    """Returns ln priors: one fault as on the map, two in proportion to both shares, ``TWO_FAULTS`` in all."""
    single = sets.sum(axis=1) == 1
    weights = sets @ model.log_prior
    pairs = normalised(np.where(single, -np.inf, weights)) + np.log(TWO_FAULTS)
    return np.asarray(np.where(single, weights + np.log(1 - TWO_FAULTS), pairs), dtype=np.float64)


def _likelihood(model: Model, result: Result, sets: Floats) -> Floats:
    """Returns P(result | set) per row."""
    if result.observed is None or result.observed.table.shape[0] != 2:
        # A part, or one outcome of several: the concern stays while one fault stays; the better fit decides.
        return np.asarray(np.where(sets > 0, result.likelihood, 0.0).max(axis=1), dtype=np.float64)
    table = _set_table(model, result.name, result.observed.table, sets)
    return np.asarray(table[result.observed.outcome], dtype=np.float64)


def _set_table(model: Model, name: str, table: Floats, sets: Floats) -> Floats:
    """Returns P(outcome | set) of a two-outcome test, outcomes × sets."""
    test = model.section_map.test(name)
    shown = table[0]
    if test is not None and test.combine == "all":
        chance = np.where(sets > 0, shown, 1.0).min(axis=1)
    else:
        # What a hypothesis shows beyond the leak is its own doing; one that shows less keeps its figure when alone.
        leak = float(shown[model.index[NOT_ON_MAP]])
        chance = noisy_or(leak, np.clip((shown - leak) / max(1.0 - leak, FLOOR), 0.0, 1.0), sets)
        chance = np.where(sets.sum(axis=1) == 1, sets @ shown, chance)
    return np.stack([chance, 1.0 - chance])
