import numpy as np
import pytest

from kbapp.isolation.arrays import entropy_bits, log_sum_exp, normalised


def test_log_sum_exp_does_not_overflow() -> None:
    assert log_sum_exp(np.array([1000.0, 1000.0])) == pytest.approx(1000 + np.log(2))
    assert log_sum_exp(np.array([-np.inf, -np.inf])) == -np.inf


def test_normalised_weights_sum_to_one() -> None:
    assert np.exp(normalised(np.array([-900.0, -901.0, -905.0]))).sum() == pytest.approx(1)


def test_entropy() -> None:
    assert entropy_bits(np.array([[0.5, 0.5], [1.0, 0.0]])) == pytest.approx([1.0, 0.0])


def test_entropy_of_the_reference_priors() -> None:
    # [L] reference brake map: H₀ = 2.872931056 bits
    assert entropy_bits(np.array([0.05, 0.25, 0.15, 0.10, 0.10, 0.12, 0.13, 0.10])) == pytest.approx(2.872931056)
