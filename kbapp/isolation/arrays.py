"""Names the array type and the few numeric helpers every module of the engine uses."""

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Floats: TypeAlias = npt.NDArray[np.float64]
"""An array of float64."""
Positions: TypeAlias = npt.NDArray[np.intp]
"""An array of positions."""


def log_sum_exp(values: Floats) -> float:
    """Returns ln Σ exp(values) without overflow; −∞ where all values are −∞."""
    top = float(np.max(values))
    if top == -np.inf:
        return -np.inf
    return top + float(np.log(np.sum(np.exp(values - top))))


def normalised(log_weights: Floats) -> Floats:
    """Returns log weights shifted so that their exponentials sum to 1."""
    return np.asarray(log_weights - log_sum_exp(log_weights), dtype=np.float64)


def entropy_bits(shares: Floats) -> Floats:
    """Returns the entropy in bits along the last axis; 0·log 0 counts as 0."""
    safe = np.where(shares > 0, shares, 1.0)
    return np.asarray(-np.sum(shares * np.log2(safe), axis=-1), dtype=np.float64)
