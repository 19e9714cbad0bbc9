"""The figures every question uses: shares with intervals, sums per currency, medians with intervals."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from kbapp.isolation.intervals import Interval

LEAST: Final = 8
"""A share of fewer is shown, never ranked."""
_COVERED: Final = 0.95


def enough(share: Interval) -> bool:
    """Returns whether enough was counted to compare a share with others."""
    return share.of >= LEAST


@dataclass(frozen=True, slots=True)
class Amount:
    """Money of one currency."""

    currency: str
    value: float


Amounts = tuple[Amount, ...]
"""Sums, one a currency, in the order of their names; never added across currencies."""


def add_up(costs: Iterable[tuple[str, float]]) -> Amounts:
    """Returns the sum of each currency."""
    by_currency: dict[str, list[float]] = {}
    for currency, value in costs:
        by_currency.setdefault(currency, []).append(value)
    return tuple(Amount(currency, math.fsum(values)) for currency, values in sorted(by_currency.items()))


@dataclass(frozen=True, slots=True)
class Spread:
    """``n`` values: median, quartiles (both linear between neighbours) and the 95 % interval of the median.

    ``low`` and ``high`` are None where fewer than six values cannot give one.
    """

    n: int
    median: float
    quarter: float
    three_quarters: float
    low: float | None
    high: float | None


def spread(values: Sequence[float]) -> Spread | None:
    """Returns how values spread, None without any."""
    if not values:
        return None
    ordered = sorted(values)
    rank = _median_rank(len(ordered))
    return Spread(
        n=len(ordered),
        median=_quantile(ordered, 0.5),
        quarter=_quantile(ordered, 0.25),
        three_quarters=_quantile(ordered, 0.75),
        low=ordered[rank] if rank is not None else None,
        high=ordered[-1 - rank] if rank is not None else None,
    )


def _quantile(ordered: Sequence[float], share: float) -> float:
    place = share * (len(ordered) - 1)
    below = math.floor(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (ordered[above] - ordered[below]) * (place - below)


def _median_rank(n: int) -> int | None:
    """Returns how many values may be cut at each end so that the rest covers the median in 95 % or more.

    The number below the median is binomial (n, 1/2), whatever the values' distribution: the sign test turned round.
    """
    tail, rank = math.exp(-n * math.log(2)), -1
    term, total, k = tail, tail, 0
    if n > 700:  # the exact sum underflows; the normal approximation is within a rank of it there
        return max(0, math.floor(n / 2 - 1.959964 * math.sqrt(n) / 2) - 1)
    while total <= (1 - _COVERED) / 2 and k < n:
        rank = k
        term *= (n - k) / (k + 1)
        total += term
        k += 1
    return rank if rank >= 0 else None
