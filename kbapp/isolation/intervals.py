"""Intervals for proportions: no rate is shown without how many cases stand behind it."""

import math
from dataclasses import dataclass
from typing import Final

Z95: Final = 1.959963984540054
"""The 97.5 % point of the normal distribution."""


@dataclass(frozen=True, slots=True)
class Interval:
    """A proportion ``successes`` of ``of`` with its bounds."""

    successes: int
    of: int
    low: float
    high: float


def wilson(successes: int, of: int, z: float = Z95) -> Interval:
    """Returns the Wilson score interval of a proportion (Wilson 1927), 0–1 where nothing was counted.

    Raises:
        ValueError: the counts are negative or more succeeded than were counted.
    """
    if not 0 <= successes <= of:
        raise ValueError((successes, of))
    if of == 0:
        return Interval(0, 0, 0.0, 1.0)
    share, square = successes / of, z * z
    middle = (share + square / (2 * of)) / (1 + square / of)
    half = z / (1 + square / of) * math.sqrt(share * (1 - share) / of + square / (4 * of * of))
    low = 0.0 if successes == 0 else max(0.0, middle - half)
    high = 1.0 if successes == of else min(1.0, middle + half)
    return Interval(successes, of, low, high)
