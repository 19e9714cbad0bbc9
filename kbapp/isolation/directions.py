"""For or against: which sections a result names, and whether it speaks for or against each."""

from typing import Literal

import numpy as np

from kbapp.isolation.strength import LEVELS, STRONG_RATIO, WEAK_RATIO
from kbapp.records.likelihood import is_short_form, named_sections, own_likelihood
from kbapp.records.section_map import ELSEWHERE, MapOutcome, MapTest
from kbapp.records.timeline import Strength

Direction = Literal["for", "against", "neither"]


def touches(test: MapTest, outcome: MapOutcome, strength: Strength) -> tuple[tuple[str, Direction, Strength], ...]:
    """Returns (section, direction, strength) for each section a result names, in the order of the map's own lists.

    Short form: the first outcome speaks for the sections it points to, the second against them. Own likelihoods: for or
    against by the ratio to ``*`` (where it is absent, to the other end of the named sections), named by the nearest
    strength on a log scale and never above the result's.
    """
    if is_short_form(test):
        direction: Direction = "for" if outcome.id == test.outcomes[0].id else "against"
        return tuple((section, direction, strength) for section in test.outcomes[0].points_to or ())
    values = {name: own_likelihood(outcome, name) or 0.0 for name in sorted(named_sections(test))}
    out = []
    for name, value in values.items():
        direction, named = _by_ratio(_ratio(value, values, outcome))
        weaker = LEVELS[min(LEVELS.index(named), LEVELS.index(strength))]
        out.append((name, direction if weaker != "none" else "neither", weaker))
    return tuple(out)


def _ratio(value: float, values: dict[str, float], outcome: MapOutcome) -> float:
    tiny = 1e-3
    elsewhere = (outcome.likelihood or {}).get(ELSEWHERE)
    if elsewhere is None:
        middle = float(np.mean(list(values.values())))
        elsewhere = min(values.values()) if value >= middle else max(values.values())
    return max(value, tiny) / max(elsewhere, tiny)


def _by_ratio(ratio: float) -> tuple[Direction, Strength]:
    size = max(ratio, 1 / ratio)
    if size < WEAK_RATIO:
        return "neither", "none"
    return ("for" if ratio > 1 else "against"), ("strong" if size >= STRONG_RATIO else "weak")
