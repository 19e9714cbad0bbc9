from typing import Any

from kbapp.isolation.counting import learn
from kbapp.records.case import Case
from tests.isolation.examples import make_case, make_map, points, ran, section

MAP = make_map([section("a"), section("b")], [points("t", "a"), points("u", "b")])


def _case(n: int, section_id: str, *lines: dict[str, Any], **more: Any) -> Case:
    base = {
        "id": f"00000000-0000-4000-8000-{n:012d}", "state": "proved", "map": {"id": "m"}, "vehicle_ref": f"v{n}",
        "cause": {"text": "x", "section": section_id}, "concern": {"text": "x", "symptoms": ["low pedal"]},
    }  # fmt: skip
    return make_case(*lines, **{**base, **more})


def test_causes_and_outcomes_are_counted() -> None:
    cases = [_case(1, "a", ran("t")), _case(2, "a", ran("t", "no")), _case(3, "b", ran("u")), _case(4, "not_on_map")]
    found = learn(cases, MAP)
    assert found.causes == {"a": 2, "b": 1, "not_on_map": 1}
    assert found.outcomes == {"t": {"yes": {"a": 1}, "no": {"a": 1}}, "u": {"yes": {"b": 1}}}


def test_what_is_not_counted() -> None:
    cases = [
        _case(1, "a"),
        _case(2, "a", state="repaired"),
        _case(3, "a", map={"id": "other"}),
        _case(4, "a", vehicle_ref="v1"),
        _case(5, "a", cause={"text": "x", "section": "a", "separated": False}),
        _case(6, "b", ran("u", source="reported")),
    ]
    found = learn(cases, MAP)
    assert found.causes == {"a": 1, "b": 1}
    assert found.outcomes == {}


def test_only_the_concern_asked_for_teaches() -> None:
    cases = [_case(1, "a"), _case(2, "b", concern={"text": "x", "symptoms": ["spongy pedal"]})]
    assert learn(cases, MAP, ["Low pedal"]).causes == {"a": 1}
