import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from kbapp.isolation.intervals import wilson


@pytest.mark.parametrize(
    ("successes", "of", "low", "high"),
    [
        # Newcombe 1998, Table I method 3 [S]; the last two [L]
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
        (29, 29, 0.8830, 1.0),
        (3, 3, 0.438503, 1.0),
        (9, 12, 0.467695, 0.911058),
    ],
)
def test_published_intervals(successes: int, of: int, low: float, high: float) -> None:
    found = wilson(successes, of)
    assert (found.low, found.high) == pytest.approx((low, high), abs=5e-4 if of != 29 else 6e-5)


@given(st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_against_scipy(counts: tuple[int, int]) -> None:
    found = wilson(*counts)
    expected = stats.binomtest(*counts).proportion_ci(0.95, method="wilson")
    assert (found.low, found.high) == pytest.approx((expected.low, expected.high), abs=1e-9)


def test_nothing_counted_says_nothing() -> None:
    assert (wilson(0, 0).low, wilson(0, 0).high) == (0.0, 1.0)


@pytest.mark.parametrize("counts", [(-1, 3), (4, 3)])
def test_impossible_counts(counts: tuple[int, int]) -> None:
    with pytest.raises(ValueError):
        wilson(*counts)
