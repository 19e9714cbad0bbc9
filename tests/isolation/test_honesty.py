import numpy as np
import pytest

from kbapp.isolation.honesty import LEAST_JUDGED, Judged, honesty, judged
from kbapp.isolation.model import Model, build
from kbapp.isolation.posterior import shares
from kbapp.isolation.results import result_of_test
from tests.isolation.examples import situation_map
from tests.isolation.test_replay import MAP, SWAPPED


def _world(model: Model, false_results: float, cases: int, seed: int) -> list[Judged]:
    """Simulates proved cases: every test is run and errs ``false_results`` times as often as the map says."""
    rng = np.random.default_rng(seed)
    out = []
    for n in range(cases):
        truth = int(rng.choice(len(model.hypotheses), p=np.exp(model.log_prior)))
        results = []
        for test in model.section_map.tests:
            likely = model.table(test, "strong")[:, truth]
            wrong = min(0.5, false_results * float(likely.min()))
            shown = int(likely.argmin()) if rng.random() < wrong else int(likely.argmax())
            results.append(result_of_test(model, test, test.outcomes[shown], "strong"))
        out.append(Judged(str(n), tuple(float(p) for p in shares(model, results)), truth))
    return out


MODEL = build(situation_map("S01"))


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_right_map_is_found_honest_and_one_whose_tests_err_twice_as_often_too_sure(seed: int) -> None:
    right, wrong = honesty(_world(MODEL, 1.0, 300, seed)), honesty(_world(MODEL, 2.0, 300, seed))
    assert right.verdict == "honest"
    assert wrong.verdict == "too_sure"
    assert right.calibration is not None
    assert wrong.calibration is not None
    assert right.calibration.error < wrong.calibration.error
    assert wrong.was.low <= wrong.was.successes / wrong.was.of < wrong.said


def test_a_map_that_believes_its_tests_too_little_is_too_cautious() -> None:
    assert honesty(_world(MODEL, 0.1, 300, 4)).verdict == "too_cautious"


def test_few_cases_say_nothing() -> None:
    few = honesty(_world(MODEL, 1.0, LEAST_JUDGED - 1, 1))
    assert few.verdict == "too_few"
    assert honesty([]).calibration is None
    assert (honesty([]).verdict, honesty([]).cases) == ("too_few", 0)


def test_sure_shares_do_not_divide_by_nothing() -> None:
    found = honesty([Judged(str(n), (1.0, 0.0), 0) for n in range(30)])
    assert (found.verdict, found.z) == ("honest", 0.0)


def test_a_proved_case_is_judged_by_its_shares_before_the_repair() -> None:
    found = judged(SWAPPED, MAP)
    assert found is not None
    assert sum(found.shares) == pytest.approx(1)
    assert found.leading[1] is True
    assert judged(SWAPPED.model_copy(update={"state": "open"}), MAP) is None
