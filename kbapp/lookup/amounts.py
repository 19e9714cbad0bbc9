"""Measured amounts in an outcome, compared as numbers: 0.9 V and 50 mV are far apart, 0.5 V is half a volt."""

import re
from dataclasses import dataclass
from functools import lru_cache
from math import inf
from typing import Final

from kbapp.records.quantity_text import find_quantities
from kbapp.records.units import convert, unit

_ABOVE: Final = re.compile(r"(?:over|above|more than|at least|greater than|>|≥)\s*$", re.IGNORECASE)
_BELOW: Final = re.compile(r"(?:under|below|less than|at most|up to|<|≤)\s*$", re.IGNORECASE)
_NEAR: Final = 0.12
_FAR: Final = 1.5


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount between two values of one unit; a measured value has both alike."""

    unit: str
    low: float
    high: float


@lru_cache(maxsize=20_000)
def amounts(text: str) -> tuple[Amount, ...]:
    """Returns the amounts with units in a text."""
    if not any(char.isdigit() for char in text) and "half" not in text.casefold():
        return ()
    found = []
    for one in find_quantities(text):
        before = text[max(0, one.start - 14) : one.start]
        value = one.quantity.value
        low = -inf if _BELOW.search(before) else value
        high = inf if _ABOVE.search(before) else value
        found.append(Amount(one.quantity.unit, low, high))
    return tuple(found)


def alike(one: tuple[Amount, ...], other: tuple[Amount, ...]) -> float | None:
    """Returns 1 where the first comparable amounts agree, -1 where they are far apart, None where none compare."""
    for mine in one:
        for theirs in other:
            if unit(mine.unit).dimension == unit(theirs.unit).dimension:
                return _alike(mine, theirs)
    return None


def _alike(one: Amount, other: Amount) -> float:
    common = min(one.unit, other.unit)
    first, second = sorted((in_unit(one, common), in_unit(other, common)))
    if second[0] <= first[1]:
        return 1.0
    small, large = sorted((abs(first[1]), abs(second[0])))
    if first[1] * second[0] < 0 or small == 0:
        return -1.0
    if large - small <= _NEAR * large:
        return 0.8
    return -1.0 if large / small >= _FAR else -0.3


def in_unit(one: Amount, unit_id: str) -> tuple[float, float]:
    """Returns an amount's two values in another unit of the same dimension."""
    low, high = (value if abs(value) == inf else convert(value, one.unit, unit_id) for value in (one.low, one.high))
    return low, high
