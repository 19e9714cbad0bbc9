"""How honest the shares are: over many cases, does what was given 70 % come true in 70 %?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from kbapp.isolation.intervals import Interval, wilson

BINS: Final = 10
_LEAST: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Bin:
    """Predictions from ``low`` up to ``high``: their mean, and how many came true (with interval)."""

    low: float
    high: float
    mean: float
    came_true: Interval


@dataclass(frozen=True, slots=True)
class Calibration:
    """Reliability over ``n`` predictions. ``error``: expected calibration error, gaps weighted by bin size."""

    n: int
    brier: float
    log_loss: float
    error: float
    bins: tuple[Bin, ...]


def calibrate(predicted: Sequence[float], came_true: Sequence[bool], bins: int = BINS) -> Calibration:
    """Returns the calibration of probabilities against what came true; empty bins are left out.

    Raises:
        ValueError: nothing was predicted, or the two lists differ in length.
    """
    n = len(predicted)
    if not n or n != len(came_true):
        raise ValueError((n, len(came_true)))
    pairs = list(zip(predicted, came_true, strict=True))
    table = _bins(pairs, bins)
    return Calibration(
        n=n,
        brier=math.fsum((p - y) ** 2 for p, y in pairs) / n,
        log_loss=math.fsum(-math.log(max(p if y else 1 - p, _LEAST)) for p, y in pairs) / n,
        error=math.fsum(abs(b.mean - b.came_true.successes / b.came_true.of) * b.came_true.of for b in table) / n,
        bins=table,
    )


def _bins(pairs: list[tuple[float, bool]], bins: int) -> tuple[Bin, ...]:
    sorted_in: dict[int, list[tuple[float, bool]]] = {}
    for p, y in pairs:
        sorted_in.setdefault(min(int(p * bins), bins - 1), []).append((p, y))
    return tuple(
        Bin(
            low=n / bins,
            high=(n + 1) / bins,
            mean=math.fsum(p for p, _ in members) / len(members),
            came_true=wilson(sum(y for _, y in members), len(members)),
        )
        for n, members in sorted(sorted_in.items())
    )
