"""Shares from evidence: log weights added up, tests of one group taken together."""

from collections.abc import Iterable, Sequence

import numpy as np

from kbapp.isolation.arrays import Floats, normalised
from kbapp.isolation.groups import Observed, joint
from kbapp.isolation.model import Model
from kbapp.isolation.results import Result
from kbapp.isolation.strength import FLOOR


def log_likelihood(model: Model, results: Iterable[Result]) -> Floats:
    """Returns ln P(all results | hypothesis); the order of the results does not matter.

    Parts fitted in vain rule out their shares of a section together: 1 − Σ cure × share, not the product.
    """
    total, cured = np.zeros(len(model.hypotheses)), np.zeros(len(model.hypotheses))
    groups: dict[str, list[Observed]] = {}
    for result in results:
        if result.cured is not None:
            cured += result.cured
        elif result.group and result.observed is not None:
            groups.setdefault(result.group, []).append(result.observed)
        else:
            total += np.log(result.likelihood)
    for group, observed in groups.items():
        total += np.log(joint(observed, model.groups[group]))
    return np.asarray(total + np.log(np.maximum(1.0 - cured, FLOOR)), dtype=np.float64)


def log_posterior(model: Model, results: Sequence[Result]) -> Floats:
    """Returns ln P(hypothesis | results), summing to 1 when exponentiated."""
    return normalised(model.log_prior + log_likelihood(model, results))


def shares(model: Model, results: Sequence[Result]) -> Floats:
    """Returns P(hypothesis | results) in the model's order."""
    return np.asarray(np.exp(log_posterior(model, results)), dtype=np.float64)


def log_odds(log_shares: Floats) -> Floats:
    """Returns ln (p / (1 − p)) for each hypothesis from log shares, stable near 0 and 1; +∞ where p is 1."""
    with np.errstate(divide="ignore"):
        rest = np.array([_log_rest(log_shares, n) for n in range(len(log_shares))])
    return np.asarray(log_shares - rest, dtype=np.float64)


def _log_rest(log_shares: Floats, n: int) -> float:
    others = np.delete(log_shares, n)
    if not len(others):
        return -np.inf
    top = float(others.max())
    return top + float(np.log(np.exp(others - top).sum()))
