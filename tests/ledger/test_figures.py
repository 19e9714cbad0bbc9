import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from kbapp.isolation.intervals import wilson
from kbapp.ledger.figures import Amount, add_up, enough, spread


@pytest.mark.parametrize(
    ("successes", "of", "low", "high"),
    [
        # Newcombe 1998, Table I method 3; [L] scipy and statsmodels agree
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
        (29, 29, 0.8830, 1.0),
        (3, 3, 0.438503, 1.0),
        (9, 12, 0.467695, 0.911058),
    ],
)
def test_published_wilson_intervals(successes: int, of: int, low: float, high: float) -> None:
    found = wilson(successes, of)
    assert (found.low, found.high) == pytest.approx((low, high), abs=6e-5)


@pytest.mark.outside
@given(st.integers(0, 400), st.integers(0, 400))
@settings(max_examples=60)
def test_wilson_against_scipy(one: int, other: int) -> None:
    if one + other:
        expected = stats.binomtest(one, one + other).proportion_ci(method="wilson")
        found = wilson(one, one + other)
        assert (found.low, found.high) == pytest.approx((expected.low, expected.high), abs=1e-12)


def test_a_share_of_fewer_than_eight_is_never_ranked() -> None:
    assert not enough(wilson(7, 7))
    assert enough(wilson(0, 8))


def test_currencies_are_never_added_together() -> None:
    assert add_up([("EUR", 1.5), ("CHF", 2), ("EUR", 3)]) == (Amount("CHF", 2), Amount("EUR", 4.5))
    assert add_up([]) == ()


@pytest.mark.outside
@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=120))
@settings(max_examples=80)
def test_the_median_and_its_interval_against_scipy(values: list[float]) -> None:
    found = spread(values)
    assert found is not None
    assert found.n == len(values)
    quartiles = [float(stats.scoreatpercentile(values, p)) for p in (25, 50, 75)]
    assert (found.quarter, found.median, found.three_quarters) == pytest.approx(quartiles)
    # the exact interval for a quantile, from the binomial distribution
    expected: Any = stats.quantile_test(values, q=0, p=0.5).confidence_interval(0.95)
    if math.isnan(expected.low) or math.isnan(expected.high):
        assert (found.low, found.high) == (None, None)
    else:
        assert (found.low, found.high) == (expected.low, expected.high)


def test_large_samples_have_a_narrow_interval_of_the_median() -> None:
    found = spread(list(range(10_001)))
    assert found is not None
    assert found.low is not None
    assert found.high is not None
    assert 4900 <= found.low <= found.median == 5000 <= found.high <= 5100


def test_nothing_has_no_spread() -> None:
    assert spread([]) is None
