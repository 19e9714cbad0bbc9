import numpy as np
import pytest

from kbapp.isolation.learning import Learned
from kbapp.isolation.model import build
from tests.isolation.examples import make_map, points, section

SECTIONS = [section("a", 6), section("b", 3)]


def test_priors_are_weights_of_any_scale() -> None:
    model = build(make_map(SECTIONS))
    assert np.exp(model.log_prior) == pytest.approx([0.6, 0.3, 0.1])
    assert model.hypotheses == ("a", "b", "not_on_map")


def test_a_concern_may_have_priors_of_its_own() -> None:
    told = make_map(SECTIONS, priors_by_symptom={"spongy pedal": {"a": 1}, "sinking pedal": {"not_on_map": 11}})
    assert np.exp(build(told, ["Spongy pedal"]).log_prior) == pytest.approx([0.2, 0.6, 0.2])
    both = (np.array([1, 3, 1]) / 5 + np.array([6, 3, 11]) / 20) / 2
    assert np.exp(build(told, ["spongy pedal", "sinking pedal"]).log_prior) == pytest.approx(both)
    assert np.exp(build(told, ["hard pedal"]).log_prior) == pytest.approx([0.6, 0.3, 0.1])


def test_proved_cases_move_priors_and_likelihoods() -> None:
    told = make_map(SECTIONS, [points("t", "a")])
    learned = Learned({"b": 20}, {"t": {"yes": {"a": 5, "gone": 3}, "no": {"a": 15}}})
    model = build(told, learned=learned)
    assert np.exp(model.log_prior) == pytest.approx([0.3, 0.65, 0.05])
    assert model.tables["t"][0] == pytest.approx([(0.9 * 20 + 5) / 40, 0.1, 0.1])
    assert learned.cases() == 20
    assert learned.cases_of("t") == 23


def test_a_test_is_found_by_id_or_exact_name() -> None:
    model = build(make_map(SECTIONS, [points("t", "a")]))
    assert model.find_test("t") is model.find_test("TEST t") is not None
    assert model.find_test("looked around") is None
