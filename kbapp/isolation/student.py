"""Student's t quantiles, without a statistics library at run time."""

import math
from typing import Final

_STEPS: Final = 300
_TINY: Final = 1e-300


def t_quantile(probability: float, df: float) -> float:
    """Returns the value a Student t variable with ``df`` degrees of freedom stays under with that probability (≥ .5).

    Raises:
        ValueError: the probability is not in .5 ≤ p < 1, or ``df`` is not positive.
    """
    if not 0.5 <= probability < 1 or df <= 0:
        raise ValueError((probability, df))
    low, high = 0.0, 1.0
    while t_cdf(high, df) < probability:
        high *= 2
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (middle, high) if t_cdf(middle, df) < probability else (low, middle)
    return (low + high) / 2


def t_cdf(value: float, df: float) -> float:
    """Returns P(T ≤ value) for ``value`` ≥ 0."""
    return 1.0 - 0.5 * incomplete_beta(df / 2, 0.5, df / (df + value * value))


def incomplete_beta(a: float, b: float, x: float) -> float:
    """Returns the regularised incomplete beta function by its continued fraction (Lentz)."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x))
    if x > (a + 1) / (a + b + 2):
        return 1.0 - incomplete_beta_fraction(b, a, 1 - x) * front / b
    return incomplete_beta_fraction(a, b, x) * front / a


def incomplete_beta_fraction(a: float, b: float, x: float) -> float:
    """Returns the continued fraction of the incomplete beta function."""
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1)
    d = 1.0 / (d if abs(d) > _TINY else _TINY)
    value = d
    for m in range(1, _STEPS):
        for factor in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1.0 + factor * d
            c = 1.0 + factor / c
            d = 1.0 / (d if abs(d) > _TINY else _TINY)
            c = c if abs(c) > _TINY else _TINY
            value *= c * d
        if abs(c * d - 1.0) < 1e-16:
            break
    return value
