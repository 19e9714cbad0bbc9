"""Tests that share a gauge, a clamp or a reader share its errors: their results are never simply multiplied.

The model: of the chance that a test errs under a hypothesis, half is a cause shared by the whole group (a stuck
gauge, a clamp that does not close). It strikes all tests of the group that would err in the same direction at once;
the rest of each error is the test's own. One result keeps exactly the map's likelihood. With .92/.04, a positive
counts 23 to 1, two of one group 43.2 and three 42.2, where multiplying would give 529 and 12,167.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from kbapp.isolation.arrays import Floats

SHARED: Final = 0.5
"""The part of a test's error that its group shares. Trade judgement."""

SharedErrors = Mapping[int, Floats]
"""The chance of a shared error by direction (the wrong outcome of two, −1 for tests with more), per hypothesis."""


@dataclass(frozen=True, slots=True, eq=False)
class Observed:
    """A result as numbers: the test's likelihood table (outcomes × hypotheses) and which outcome was seen."""

    table: Floats
    outcome: int

    @property
    def row(self) -> Floats:
        """P(outcome seen | hypothesis)."""
        return np.asarray(self.table[self.outcome], dtype=np.float64)


def shared_errors(tables: Sequence[Floats], shared: float = SHARED) -> SharedErrors:
    """Returns the shared errors of a group from all its tests: half of the smallest error in each direction.

    They come from the map, not from which tests were run: what was seen never changes by what is seen next.
    """
    directions = np.stack([_direction(table) for table in tables])
    errors = np.stack([1.0 - table.max(axis=0) for table in tables])
    out = {}
    for direction in np.unique(directions):
        smallest = np.where(directions == direction, errors, np.inf).min(axis=0)
        out[int(direction)] = np.where(np.isfinite(smallest), shared * smallest, 0.0)
    return out


def joint(results: Sequence[Observed], shared: SharedErrors) -> Floats:
    """Returns P(all results of one group | hypothesis)."""
    if len(results) == 1:
        return results[0].row
    directions = np.stack([_direction(result.table) for result in results])
    errors = np.stack([1.0 - result.table.max(axis=0) for result in results])
    seen = np.stack([result.row for result in results])
    right = np.stack([result.table.argmax(axis=0) == result.outcome for result in results])
    out = np.ones(seen.shape[1])
    for direction, common in shared.items():
        out *= _class_joint(directions == direction, errors, seen, right, common)
    return out


def conditional(candidate: Floats, results: Sequence[Observed], shared: SharedErrors) -> Floats:
    """Returns P(outcome | hypothesis, the group's results so far) for every outcome of a candidate test."""
    if not results:
        return candidate
    before = joint(results, shared)
    rows = [joint([*results, Observed(candidate, outcome)], shared) for outcome in range(candidate.shape[0])]
    return np.asarray(np.stack(rows) / before, dtype=np.float64)


def _direction(table: Floats) -> Floats:
    """Returns, per hypothesis, which way a test errs: the wrong outcome of two, or −1 for any wrong one of more."""
    if table.shape[0] != 2:
        return np.full(table.shape[1], -1.0)
    return np.asarray(1.0 - table.argmax(axis=0), dtype=np.float64)


def _class_joint(of_class: Floats, errors: Floats, seen: Floats, right: Floats, common: Floats) -> Floats:
    """Returns the joint likelihood of the results that err in one direction, 1 where a hypothesis has none."""
    own_error = (errors - common) / (1.0 - common)
    among_errors = seen / np.where(errors > 0, errors, 1.0)
    alone = np.where(right, 1.0 - own_error, own_error * among_errors)
    struck = np.where(right, 0.0, among_errors)
    apart = np.where(of_class, alone, 1.0).prod(axis=0)
    together = np.where(of_class, struck, 1.0).prod(axis=0)
    return np.asarray(np.where(of_class.any(axis=0), common * together + (1.0 - common) * apart, 1.0))
