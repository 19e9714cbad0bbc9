"""What each result contributed to each section: ln likelihood ratios, by leaving one result out."""

from dataclasses import dataclass

from kbapp.isolation.model import Model
from kbapp.isolation.posterior import log_odds, log_posterior
from kbapp.isolation.results import Evidence, Result


@dataclass(frozen=True, slots=True)
class Contribution:
    """ln of the factor by which a result moves a hypothesis' odds, given all other results."""

    result: Result
    hypothesis: str
    ln_ratio: float


def contributions(model: Model, evidence: Evidence) -> tuple[Contribution, ...]:
    """Returns every result's contribution to every hypothesis, results in their order.

    A contribution depends on the other results whenever "elsewhere" mixes hypotheses; leaving one out states it given
    all the others, and such figures do not add up to the whole exactly.
    """
    whole = log_odds(log_posterior(model, evidence.results))
    out = []
    for result in evidence.results:
        moved = whole - log_odds(log_posterior(model, evidence.without(result)))
        out += [Contribution(result, name, float(moved[n])) for n, name in enumerate(model.hypotheses)]
    return tuple(out)
