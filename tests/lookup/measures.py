"""Measures of a ranking against grades, and their uncertainty; plain arithmetic, checked against ``ir_measures``."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

DRAWS = 2000


def ndcg(ranked: Sequence[str], judged: Mapping[str, int], depth: int = 10) -> float:
    """Returns nDCG of the first ``depth`` places: the gain is the grade, the discount log2(1 + place)."""
    gained = _dcg([judged.get(one, 0) for one in ranked[:depth]])
    best = _dcg(sorted(judged.values(), reverse=True)[:depth])
    return gained / best if best else 0.0


def _dcg(gains: Sequence[int]) -> float:
    return sum(gain / math.log2(place + 1) for place, gain in enumerate(gains, 1))


def reciprocal_rank(ranked: Sequence[str], judged: Mapping[str, int]) -> float:
    """Returns 1 / place of the first case of the highest grade the question has, 0 where none is found."""
    top = max(judged.values(), default=0)
    return next((1 / place for place, one in enumerate(ranked, 1) if top and judged.get(one, 0) == top), 0.0)


def pair_kept(ranked: Sequence[str], pair: tuple[str, str]) -> float:
    """Returns 1 where the better case is found before the worse one (or without it), else 0."""
    better, worse = pair
    place = {one: n for n, one in enumerate(ranked)}
    return float(better in place and place[better] < place.get(worse, len(ranked)))


def interval(values: Sequence[float], seed: int = 1) -> tuple[float, float]:
    """Returns the 95 % bootstrap interval of the mean (percentiles, questions drawn with replacement)."""
    if not values:
        return (math.nan, math.nan)
    data = np.asarray(values)
    drawn = np.random.default_rng(seed).integers(0, len(data), (DRAWS, len(data)))
    low, high = np.percentile(data[drawn].mean(axis=1), (2.5, 97.5))
    return float(low), float(high)
