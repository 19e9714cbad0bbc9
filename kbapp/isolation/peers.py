"""Side-to-side and wheel-to-wheel comparison: does one place stand out from the others by more than a stated margin?

Each place's mean is compared with the median of the others' (or, by axle, with its mate). The uncertainty comes from
the repeats, pooled, and is never less than the resolution of the instrument allows. A place stands out when even the
lower bound is beyond the margin; none does when the upper bound of the largest is within it; else: repeat.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean, median
from typing import Final, Literal

from kbapp.isolation.student import t_quantile
from kbapp.records.section_map import MapReadings, MapTest
from kbapp.records.timeline import Reading
from kbapp.records.vocabulary import mirror_position

PeerVerdict = Literal["stands_out", "none", "inconclusive"]
ERROR: Final = 0.05
"""The chance, over all places, of calling one out that does not stand out."""
# Variance of the median of n standard normal values (n = 1 … 7): the median of the others is less certain than a mean.
_MEDIAN_VARIANCE: Final = (1.0, 0.5, 1.0 - math.sqrt(3) / math.pi, 0.2982, 0.2868, 0.2147, 0.2104)


@dataclass(frozen=True, slots=True)
class PeerComparison:
    """``difference`` of ``place`` from the others ± ``half_width`` in the readings' unit, against ``margin``."""

    verdict: PeerVerdict
    place: str
    difference: float
    half_width: float
    margin: float


def compare(
    values: Mapping[str, Sequence[float]], *, resolution: float, margin: float, by_axle: bool = False
) -> PeerComparison:
    """Returns whether the highest place stands out. ``values``: place → repeats, two places or more.

    Raises:
        ValueError: fewer than two places, a place without readings, no repeat at all, or mates missing for ``by_axle``.
    """
    places = tuple(values)
    others = {place: _others(place, places, by_axle=by_axle) for place in places}
    degrees = sum(len(repeats) - 1 for repeats in values.values())
    if len(places) < 2 or min(map(len, values.values())) < 1 or degrees < 1 or not all(others.values()):
        raise ValueError(values)
    means = {place: fmean(repeats) for place, repeats in values.items()}
    differences = {place: means[place] - median(means[other] for other in others[place]) for place in places}
    place = max(places, key=lambda name: differences[name])
    spread = max(_pooled_sd(values, degrees), resolution / math.sqrt(12))
    repeats = min(map(len, values.values()))
    variance = (1.0 + _median_variance(len(others[place]))) / repeats
    half = t_quantile(1 - ERROR / (2 * len(places)), degrees) * spread * math.sqrt(variance)
    return PeerComparison(_verdict(differences[place], half, margin), place, differences[place], half, margin)


def proposed_outcome(test: MapTest, readings: Sequence[Reading]) -> tuple[PeerComparison, str] | None:
    """Returns the comparison of a test's readings and the outcome it proposes (empty where none), None if not possible.

    Of two outcomes, the first is proposed where a place stands out and the second where none does. Of one outcome more
    than there are places, the outcome of the place in the order listed, and the last where none does.
    """
    plan = test.readings
    if plan is None or plan.margin is None:
        return None
    values = _by_place(plan, readings)
    try:
        found = compare(values, resolution=plan.resolution or 0.0, margin=plan.margin, by_axle=plan.by_axle)
    except ValueError:
        return None
    return found, _outcome(test, plan, found)


def _outcome(test: MapTest, plan: MapReadings, found: PeerComparison) -> str:
    names = [outcome.id for outcome in test.outcomes]
    if found.verdict == "inconclusive":
        return ""
    if len(names) == 2:
        return names[0] if found.verdict == "stands_out" else names[1]
    if len(names) == len(plan.places) + 1:
        return names[plan.places.index(found.place)] if found.verdict == "stands_out" else names[-1]
    return ""


def _by_place(plan: MapReadings, readings: Sequence[Reading]) -> dict[str, list[float]]:
    """Returns numeric readings in the plan's unit by place, in its order."""
    values: dict[str, list[float]] = {place: [] for place in plan.places}
    for reading in readings:
        if reading.where in values and isinstance(reading.value, (int, float)) and reading.unit in ("", plan.unit):
            values[reading.where].append(float(reading.value))
    return values


def _others(place: str, places: Sequence[str], *, by_axle: bool) -> tuple[str, ...]:
    if by_axle:
        return tuple(other for other in places if other == mirror_position(place))
    return tuple(other for other in places if other != place)


def _pooled_sd(values: Mapping[str, Sequence[float]], degrees: int) -> float:
    squares = sum(sum((x - fmean(repeats)) ** 2 for x in repeats) for repeats in values.values())
    return math.sqrt(squares / degrees)


def _median_variance(count: int) -> float:
    if count <= len(_MEDIAN_VARIANCE):
        return _MEDIAN_VARIANCE[count - 1]
    return math.pi / (2 * count)


def _verdict(difference: float, half: float, margin: float) -> PeerVerdict:
    if difference - half > margin:
        return "stands_out"
    return "none" if difference + half < margin else "inconclusive"
