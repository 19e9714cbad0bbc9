import pytest

from kbapp.isolation.base_first import base_state, needed_by_sections, needed_by_test, unmet
from tests.isolation.examples import look, make_map, points, ran, section

MAP = make_map(
    [section("base"), section("tyres"), section("sensor", good_first=["wiring"]), section("wiring")],
    [points("t", "base"), points("u", "sensor", good_first=["wiring"]), points("v", "wiring")],
    good_first=["base", "tyres"],
)


@pytest.mark.parametrize(("lines", "state"), [([], "untested"), (["no"], "good"), (["yes"], "failed")])
def test_a_base_section_is_good_only_by_a_result_against_it(lines: list[str], state: str) -> None:
    assert base_state(look(MAP, *(ran("t", outcome) for outcome in lines)).evidence, "base") == state


def test_tests_of_the_base_never_wait_for_the_rest_of_it() -> None:
    model = look(MAP).model
    needs = {test.id: needed_by_test(model, test) for test in MAP.tests}
    assert needs == {"t": (), "u": ("wiring", "base", "tyres"), "v": ("base", "tyres")}


def test_parts_wait_for_their_section_and_the_map() -> None:
    assert needed_by_sections(MAP, ["sensor"]) == ("wiring", "base", "tyres")
    assert needed_by_sections(MAP, ["base"]) == ()


def test_what_is_not_proved_good_is_named() -> None:
    assert unmet(look(MAP, ran("t", "no")).evidence, ("base", "tyres")) == (("tyres", "untested"),)
