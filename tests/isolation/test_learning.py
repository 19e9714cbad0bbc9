import numpy as np
import pytest

from kbapp.isolation.learning import dirichlet_mean, learned_priors, learned_table

COUNTS = np.array([14.0, 6, 3, 1, 0])


@pytest.mark.parametrize(
    ("alpha", "expected"),
    [
        # [L] Dirichlet posterior means
        (1.0, [0.517241, 0.241379, 0.137931, 0.068966, 0.034483]),
        (0.5, [0.547170, 0.245283, 0.132075, 0.056604, 0.018868]),
    ],
)
def test_dirichlet_counts(alpha: float, expected: list[float]) -> None:
    assert dirichlet_mean(COUNTS, np.full(5, alpha)) == pytest.approx(expected, abs=5e-7)


def test_without_cases_the_map_stands() -> None:
    priors = np.array([0.5, 0.3, 0.2])
    assert learned_priors(priors, np.zeros(3)) == pytest.approx(priors)


def test_many_cases_outweigh_the_map() -> None:
    assert learned_priors(np.array([0.9, 0.1]), np.array([0.0, 980.0]))[1] == pytest.approx(0.982)


def test_learned_likelihoods_still_sum_to_one() -> None:
    table = learned_table(np.array([[0.9, 0.1], [0.1, 0.9]]), np.array([[3.0, 0], [1, 7]]))
    assert table.sum(axis=0) == pytest.approx([1, 1])
