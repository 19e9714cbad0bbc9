"""What each section's evidence amounts to: supported, leading, clear, untested or open."""

from typing import Final, Literal

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.model import Model
from kbapp.isolation.posterior import log_odds, log_posterior
from kbapp.isolation.results import Evidence
from kbapp.records.section_map import NOT_ON_MAP

SectionState = Literal["supported", "leading", "clear", "untested", "open"]

CLEAR_BELOW: Final = 0.05
SUPPORTED_SHARE: Final = 0.70
SUPPORTED_LEAD: Final = 3.0
SUPPORTED_FACTOR: Final = 10.0
_TIE: Final = 1e-9


def bayes_factors(model: Model, evidence: Evidence) -> Floats:
    """Returns, per hypothesis, the factor by which isolation tests alone moved its odds from the priors.

    Parts fitted in vain are left out: swapping by elimination is no isolation test.
    """
    after = log_odds(log_posterior(model, evidence.tests))
    with np.errstate(over="ignore", invalid="ignore"):
        return np.asarray(np.exp(after - log_odds(model.log_prior)), dtype=np.float64)


def states(model: Model, evidence: Evidence, shares: Floats) -> tuple[SectionState, ...]:
    """Returns the state of each hypothesis. Where several apply the first of this order stands:

    supported, leading (the highest share; ties lead together), clear, untested, open.
    """
    factors = bayes_factors(model, evidence)
    return tuple(_state(evidence, name, shares, n, float(factors[n])) for n, name in enumerate(model.hypotheses))


def _state(evidence: Evidence, name: str, shares: Floats, n: int, factor: float) -> SectionState:
    share = float(shares[n])
    if _is_supported(name, share, shares, n, factor):
        return "supported"
    if share >= float(shares.max()) - _TIE:
        return "leading"
    if is_clear(evidence, name, share):
        return "clear"
    return "open" if evidence.naming(name) else "untested"


def is_clear(evidence: Evidence, name: str, share: float) -> bool:
    """Returns whether a section is clear: under 5 % and at least one strong result against it."""
    return share < CLEAR_BELOW and any(
        touch is not None and touch.direction == "against" and touch.strength == "strong"
        for touch in (result.touch(name) for result in evidence.tests)
    )


def _is_supported(name: str, share: float, shares: Floats, n: int, factor: float) -> bool:
    others = np.delete(shares, n)
    next_best = float(others.max()) if len(others) else 0.0
    lead = share >= SUPPORTED_LEAD * next_best
    return name != NOT_ON_MAP and share >= SUPPORTED_SHARE and lead and factor >= SUPPORTED_FACTOR
