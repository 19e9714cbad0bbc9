"""Information: how many bits a test is expected to tell, and what each outcome would make of the shares."""

from dataclasses import dataclass

import numpy as np

from kbapp.isolation.arrays import Floats, entropy_bits

LEAST_MINUTES = 1.0
"""A test that takes no hands-on time is rated as one minute, so that rates stay finite."""


@dataclass(frozen=True, slots=True, eq=False)
class OutcomeView:
    """What one outcome would tell: how likely it is, and the shares after it (model's order)."""

    outcome: str
    probability: float
    shares: Floats


def outcome_views(shares: Floats, table: Floats, names: tuple[str, ...]) -> tuple[OutcomeView, ...]:
    """Returns what each outcome of a test would tell. ``table``: P(outcome | hypothesis), outcomes × hypotheses."""
    joint = table * shares
    totals = joint.sum(axis=1)
    after = joint / np.where(totals > 0, totals, 1.0)[:, None]
    return tuple(OutcomeView(name, float(totals[n]), after[n]) for n, name in enumerate(names))


def bits(shares: Floats, table: Floats) -> float:
    """Returns the expected information of a test in bits: entropy now minus expected entropy after."""
    joint = table * shares
    totals = joint.sum(axis=1)
    after = joint / np.where(totals > 0, totals, 1.0)[:, None]
    gain = float(entropy_bits(shares)) - float(np.sum(totals * entropy_bits(after)))
    return max(0.0, gain)


def bits_per_minute(gain: float, minutes: float) -> float:
    """Returns the bits a hands-on minute is expected to tell."""
    return gain / max(minutes, LEAST_MINUTES)
