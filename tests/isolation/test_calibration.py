import numpy as np
import pytest

from kbapp.isolation.calibration import Calibration, calibrate
from kbapp.isolation.model import Model, build
from kbapp.isolation.posterior import shares
from kbapp.isolation.results import result_of_test
from tests.isolation.examples import situation_map

P, Y = [0.9, 0.8, 0.7, 0.3, 0.6], [True, True, False, False, True]


def test_brier_and_log_loss() -> None:
    # [L] scikit-learn
    found = calibrate(P, Y)
    assert found.brier == pytest.approx(0.158)
    assert found.log_loss == pytest.approx(0.4799954878, abs=1e-10)


def test_reliability_bins() -> None:
    found = calibrate([0.05, 0.07, 0.95, 1.0], [False, False, True, True])
    assert [(b.low, b.high, b.came_true.of) for b in found.bins] == [(0.0, 0.1, 2), (0.9, 1.0, 2)]
    assert found.error == pytest.approx((0.06 * 2 + 0.025 * 2) / 4)


@pytest.mark.parametrize(("p", "y"), [([], []), ([0.4], [])])
def test_nothing_to_judge(p: list[float], y: list[bool]) -> None:
    with pytest.raises(ValueError):
        calibrate(p, y)


def _world(model: Model, false_results: float, cases: int, seed: int) -> Calibration:
    """Simulates cases by the priors, every test run and erring ``false_results`` times as often as the map says."""
    rng = np.random.default_rng(seed)
    predicted: list[float] = []
    came_true: list[bool] = []
    for _ in range(cases):
        truth = int(rng.choice(len(model.hypotheses), p=np.exp(model.log_prior)))
        results = []
        for test in model.section_map.tests:
            likely = model.table(test, "strong")[:, truth]
            wrong = min(0.5, false_results * float(likely.min()))
            shown = int(likely.argmin()) if rng.random() < wrong else int(likely.argmax())
            results.append(result_of_test(model, test, test.outcomes[shown], "strong"))
        predicted += [float(p) for p in shares(model, results)]
        came_true += [n == truth for n in range(len(model.hypotheses))]
    return calibrate(predicted, came_true)


def test_shares_are_honest_in_a_world_as_the_map_says_and_not_where_tests_err_twice_as_often() -> None:
    model = build(situation_map("S01"))
    right, wrong = _world(model, 1.0, 700, 5), _world(model, 2.0, 700, 5)
    print(f"calibration error {right.error:.3f} in the right world, {wrong.error:.3f} with doubled false results")
    assert right.error < 0.02
    assert wrong.error > 2 * right.error
    assert wrong.brier > right.brier
