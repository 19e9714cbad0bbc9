import pytest

from kbapp.records.likelihood import is_short_form, likelihoods, named_sections, own_likelihood, stated_strength
from tests.isolation.examples import chances, make_map, points, section

MAP = make_map(
    [section("a"), section("b")],
    [
        points("t", "a"),
        points("w", "a", strength="weak"),
        chances("own", {"x": {"a": 0.9, "*": 0.2, "not_on_map": 0.5}, "y": {"a": 0.1, "*": 0.8, "not_on_map": 0.5}}),
    ],
)
SHORT, WEAK, OWN = MAP.tests


def test_the_short_form() -> None:
    assert is_short_form(SHORT)
    assert stated_strength(SHORT) == "strong"
    rows = likelihoods(MAP, SHORT)
    assert rows[0] == (0.9, 0.1, 0.1)
    assert rows[1] == pytest.approx((0.1, 0.9, 0.9))
    assert likelihoods(MAP, WEAK)[0] == (0.7, 0.3, 0.3)


def test_likelihoods_of_its_own() -> None:
    assert not is_short_form(OWN)
    assert likelihoods(MAP, OWN) == ((0.9, 0.2, 0.5), (0.1, 0.8, 0.5))
    assert own_likelihood(OWN.outcomes[0], "b") == 0.2
    assert own_likelihood(SHORT.outcomes[0], "b") is None


def test_only_named_sections_are_touched() -> None:
    assert named_sections(SHORT) == {"a"}
    assert named_sections(OWN) == {"a"}
