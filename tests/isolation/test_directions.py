from kbapp.isolation.directions import touches
from tests.isolation.examples import chances, make_map, points, section

SECTIONS = [section("a"), section("b"), section("c")]


def test_short_form_names_only_the_sections_pointed_to() -> None:
    test = make_map(SECTIONS, [points("t", "a", "b")]).tests[0]
    assert touches(test, test.outcomes[0], "strong") == (("a", "for", "strong"), ("b", "for", "strong"))
    assert touches(test, test.outcomes[1], "weak") == (("a", "against", "weak"), ("b", "against", "weak"))


def test_own_likelihoods_are_named_by_their_ratio() -> None:
    table = {
        "gone": {"a": 0.9, "b": 0.3, "*": 0.1},
        "stays": {"a": 0.05, "b": 0.3, "*": 0.5},
        "odd": {"a": 0.05, "b": 0.4, "*": 0.4},
    }
    test = make_map(SECTIONS, [chances("t", table)]).tests[0]
    assert touches(test, test.outcomes[0], "strong") == (("a", "for", "strong"), ("b", "for", "weak"))
    assert touches(test, test.outcomes[1], "strong") == (("a", "against", "strong"), ("b", "against", "weak"))
    assert touches(test, test.outcomes[2], "strong")[1] == ("b", "neither", "none")


def test_a_weakened_result_is_never_named_strong() -> None:
    test = make_map(SECTIONS, [chances("t", {"x": {"a": 0.9, "*": 0.1}, "y": {"a": 0.1, "*": 0.9}})]).tests[0]
    assert touches(test, test.outcomes[0], "weak") == (("a", "for", "weak"),)


def test_without_elsewhere_the_other_end_is_the_measure() -> None:
    one = {"a": 0.9, "b": 0.1, "c": 0.1, "not_on_map": 0.5}
    test = make_map(SECTIONS, [chances("t", {"x": one, "y": {k: 1 - v for k, v in one.items()}})]).tests[0]
    found = {name: (direction, strength) for name, direction, strength in touches(test, test.outcomes[0], "strong")}
    assert found == {"a": ("for", "strong"), "b": ("against", "strong"), "c": ("against", "strong")}
