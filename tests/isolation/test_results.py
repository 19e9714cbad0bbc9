import numpy as np
import pytest

from kbapp.isolation.model import build
from kbapp.isolation.results import Evidence, result_of_part, result_of_test
from tests.isolation.examples import make_map, points, section

MAP = make_map([section("a"), section("b")], [points("t", "a")])
MODEL = build(MAP)
TEST = MAP.tests[0]


def test_a_test_names_the_sections_it_points_to() -> None:
    result = result_of_test(MODEL, TEST, TEST.outcomes[1], "weak", entries=["e1"])
    touch = result.touch("a")
    assert touch is not None
    assert (touch.direction, touch.strength) == ("against", "weak")
    assert result.touch("b") is None
    assert result.likelihood == pytest.approx([0.3, 0.7, 0.7])


def test_a_part_in_vain_speaks_against_what_it_would_have_cured() -> None:
    result = result_of_part(MODEL, "p", np.array([0.98, 0.3, 0.0]))
    assert [(t.section, t.direction, t.strength) for t in result.touches] == [
        ("a", "against", "strong"),
        ("b", "against", "none"),
    ]
    assert result.likelihood == pytest.approx([0.02, 0.7, 1.0])


def test_only_tests_name_a_section() -> None:
    part = result_of_part(MODEL, "p", np.array([0.98, 0.0, 0.0]))
    test = result_of_test(MODEL, TEST, TEST.outcomes[0], "strong")
    found = Evidence((part, test))
    assert found.naming("a") == (test,)
    assert found.tests == (test,)
    assert found.without(test) == (part,)
