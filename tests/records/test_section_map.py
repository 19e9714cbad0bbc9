import pytest
from pydantic import ValidationError

from kbapp.records.section_map import NOT_ON_MAP, STRENGTHS, SectionMap
from tests.isolation.examples import make_map, map_document, points, section

SUBSTITUTE = {"id": "clamp", "name": "Hose clamp", "undo": "clamp"}
MAP = make_map([section("a"), section("b")], [points("t", "a", undo="two plugs", substitutes=[SUBSTITUTE])])


def test_the_one_table_of_named_strengths() -> None:
    assert STRENGTHS == {"strong": (0.9, 0.1), "weak": (0.7, 0.3), "none": (0.5, 0.5)}


def test_things_are_found_by_id() -> None:
    found = MAP.section("a")
    assert found is not None
    assert found.name == "A"
    test = MAP.test("t")
    assert test is not None
    assert test.outcome("no") is test.outcomes[1]
    assert test.substitute("clamp") is test.substitute("Hose clamp") is test.substitutes[0]
    assert (MAP.section("z"), MAP.test("z"), test.outcome("z"), test.substitute("z")) == (None,) * 4


def test_hypotheses_end_with_what_is_not_on_the_map() -> None:
    assert MAP.hypotheses() == ("a", "b", NOT_ON_MAP)


def test_a_single_thing_to_undo_may_stand_without_a_list() -> None:
    assert MAP.tests[0].undo == ("two plugs",)
    assert MAP.tests[0].substitutes[0].undo == ("clamp",)


def test_a_map_is_frozen() -> None:
    with pytest.raises(ValidationError):
        MAP.title = "x"  # type: ignore[misc]


def test_what_is_read_is_written_again() -> None:
    assert SectionMap.model_validate(MAP.plain()) == MAP
    assert MAP.plain()["tests"][0]["undo"] == ["two plugs"]
    assert SectionMap.model_validate(map_document([section("a")])).plain() == {
        name: value for name, value in map_document([section("a")]).items() if name != "tests"
    }
