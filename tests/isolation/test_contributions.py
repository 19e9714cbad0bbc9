import math

import pytest

from kbapp.isolation.contributions import contributions
from kbapp.isolation.model import build
from tests.isolation.examples import evidence, make_map, points, ran, section

MODEL = build(make_map([section("a"), section("b")], [points("t", "a"), points("u", "a")]))


def test_a_lone_result_contributes_its_likelihood_ratio() -> None:
    found = contributions(MODEL, evidence(MODEL, ran("t")))
    assert {c.hypothesis: c.ln_ratio for c in found}["a"] == pytest.approx(math.log(9))


def test_each_contribution_is_given_the_other_results() -> None:
    found = contributions(MODEL, evidence(MODEL, ran("t"), ran("u", "no")))
    of_a = [c.ln_ratio for c in found if c.hypothesis == "a"]
    assert of_a == pytest.approx([math.log(9), -math.log(9)])
    assert [c.result.name for c in found if c.hypothesis == "a"] == ["t", "u"]
