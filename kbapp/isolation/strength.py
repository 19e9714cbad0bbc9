"""How strong a result counts: one step down for each reason to trust it less, never a step up."""

from collections.abc import Iterable
from typing import Final, Literal

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.records.section_map import MapTest
from kbapp.records.timeline import Strength, TestEntry

LEVELS: Final[tuple[Strength, ...]] = ("none", "weak", "strong")
FLOOR: Final = 0.005
"""No likelihood is believed to be smaller: nothing is impossible in a workshop."""

Lowered = Literal["reported", "substitute", "condition", "entry"]
"""Why a result counts less than the map says."""

# Own likelihoods are named by the nearest strength on a log scale: strong is 9 to 1, weak 7 to 3.
STRONG_RATIO: Final = float(np.sqrt(9 * 7 / 3))
WEAK_RATIO: Final = float(np.sqrt(7 / 3))


def lowest(strengths: Iterable[Strength]) -> Strength:
    """Returns the weakest of several strengths."""
    return min(strengths, key=LEVELS.index)


def highest(strengths: Iterable[Strength]) -> Strength:
    """Returns the strongest of several strengths."""
    return max(strengths, key=LEVELS.index)


def steps_down(strength: Strength, steps: int) -> Strength:
    """Returns the strength after ``steps`` steps along strong → weak → none."""
    return LEVELS[max(0, LEVELS.index(strength) - steps)]


def effective(stated: Strength, test: MapTest, entry: TestEntry) -> tuple[Strength, tuple[Lowered, ...]]:
    """Returns the strength an entry counts with, and why it is less than the map's.

    Reported by others, a substitute used and a condition not met lower it one step each; a substitute and the entry
    itself may set a lower strength of their own, never a higher one.
    """
    reasons: list[Lowered] = []
    if entry.source == "reported":
        reasons.append("reported")
    if entry.substitute:
        reasons.append("substitute")
    if any(condition.met is False for condition in entry.conditions):
        reasons.append("condition")
    strength = steps_down(stated, len(reasons))
    known = test.substitute(entry.substitute) if entry.substitute else None
    if known is not None:
        strength = lowest((strength, known.strength))
    if entry.strength is not None and LEVELS.index(entry.strength) < LEVELS.index(strength):
        reasons.append("entry")
        strength = entry.strength
    return strength, tuple(reasons)


def weakened(table: Floats, stated: Strength, strength: Strength) -> Floats:
    """Returns likelihoods (outcomes × hypotheses) at a lower strength.

    Each step goes half the way to knowing nothing (1/outcomes everywhere), which makes .9/.1 into .7/.3; ``none`` is
    knowing nothing.
    """
    even = 1.0 / table.shape[0]
    if strength == "none":
        return np.full_like(table, even)
    steps = LEVELS.index(stated) - LEVELS.index(strength)
    return np.asarray(even + (table - even) * 0.5 ** max(0, steps), dtype=np.float64)


def floored(table: Floats) -> Floats:
    """Returns likelihoods with none under the floor, summing to 1 over the outcomes."""
    raised = np.maximum(table, FLOOR)
    return np.asarray(raised / raised.sum(axis=0, keepdims=True), dtype=np.float64)
