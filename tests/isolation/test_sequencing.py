"""Test sequencing against the published example: Pattipati & Alexandridis 1990 (matrix [M], optimum [L])."""

import math

import numpy as np
import pytest

from kbapp.isolation.arrays import Floats, entropy_bits
from kbapp.isolation.gain import bits

PRIORS = np.array([0.70, 0.01, 0.02, 0.10, 0.05, 0.12])
MATRIX = np.array([[int(c) for c in row] for row in ("00000", "01001", "00110", "10011", "11000", "11110")])


def _table(test: int) -> Floats:
    return np.stack([MATRIX[:, test], 1 - MATRIX[:, test]]).astype(np.float64)


def _greedy(weights: Floats) -> float:
    """Returns the expected number of unit-cost tests of choosing by information until one state is left."""
    if np.count_nonzero(weights) <= 1:
        return 0.0
    shares = weights / weights.sum()
    best = max(range(5), key=lambda test: bits(shares, _table(test)))
    return float(weights.sum()) + sum(_greedy(weights * row) for row in _table(best))


def _optimum(states: frozenset[int]) -> float:
    if len(states) <= 1:
        return 0.0
    total = sum(PRIORS[n] for n in states)
    best = math.inf
    for test in range(5):
        yes = frozenset(n for n in states if MATRIX[n, test])
        if yes and yes != states:
            best = min(best, total + _optimum(yes) + _optimum(states - yes))
    return best


def test_choosing_by_information_is_greedy_and_not_optimal() -> None:
    assert _optimum(frozenset(range(6))) == pytest.approx(2.18)
    assert _greedy(PRIORS) == pytest.approx(2.86)
    assert float(entropy_bits(PRIORS)) == pytest.approx(1.454874, abs=1e-6)
