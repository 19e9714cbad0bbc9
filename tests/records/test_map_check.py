from collections.abc import Callable
from typing import Any

import pytest

from kbapp.records.map_check import map_remarks as remarks
from kbapp.records.map_check import nesting_faults
from kbapp.records.map_document import check_map
from kbapp.wording import fault_sentence, known_codes
from tests.isolation.examples import chances, make_map, map_document, points, section, situation_map
from tests.isolation.situations import SITUATIONS

Json = dict[str, Any]


def _good() -> Json:
    part = {"id": "p", "name": "pump"}
    return map_document([section("a", parts=[part]), section("b"), section("c")], [points("t", "a"), points("u", "b")])


def _set(*path: Any) -> Callable[[Json], None]:
    """Returns a change of a document: the last step of the path is the value."""

    def change(document: Json) -> None:
        here: Any = document
        for step in path[:-2]:
            here = here[step]
        here[path[-2]] = path[-1]

    return change


OWN = {"x": {"a": 0.9, "*": 0.1}, "y": {"a": 0.1, "*": 0.9}}


@pytest.mark.parametrize(
    ("change", "path", "code"),
    [
        (_set("sections", 0, "prior", 0), "sections.0.prior", "map_prior_zero"),
        (_set("sections", 0, "prior", -2), "sections.0.prior", "below_limit"),
        (_set("sections", 0, "prior", "much"), "sections.0.prior", "wrong_type"),
        (_set("sections", 0, "prior", float("nan")), "sections.0.prior", "number_not_kept"),
        (_set("not_on_map", 0), "not_on_map", "map_prior_zero"),
        (_set("priors_by_symptom", {"low pedal": {"z": 1}}), "priors_by_symptom.low pedal", "map_section_unknown"),
        (_set("priors_by_symptom", {"low pedal": {"a": 0}}), "priors_by_symptom.low pedal.a", "map_prior_zero"),
        (_set("sections", []), "sections", "map_count"),
        (_set("sections", [section(f"s{n}") for n in range(500)]), "sections", "map_count"),
        (_set("tests", [points(f"t{n}", "a") for n in range(501)]), "tests", "map_count"),
        (_set("sections", 1, "id", "a"), "sections", "map_id_twice"),
        (_set("sections", 1, "id", "not_on_map"), "sections.1.id", "map_id_reserved"),
        (_set("sections", 1, "id", "*"), "sections.1.id", "map_id_reserved"),
        (_set("tests", 1, "id", "t"), "tests", "map_id_twice"),
        (_set("tests", 0, "outcomes", 1, "id", "yes"), "tests.0.outcomes", "map_id_twice"),
        (_set("tests", 0, "conditions", [{"id": "x", "name": "x"}] * 2), "tests.0.conditions", "map_id_twice"),
        (_set("tests", 0, "substitutes", [{"id": "x", "name": "x"}] * 2), "tests.0.substitutes", "map_id_twice"),
        (_set("sections", 0, "feeds", ["z"]), "sections.0.feeds", "map_section_unknown"),
        (_set("sections", 0, "feeds", ["a"]), "sections.0", "map_section_itself"),
        (_set("sections", 0, "good_first", ["z"]), "sections.0.good_first", "map_section_unknown"),
        (_set("good_first", ["z"]), "good_first", "map_section_unknown"),
        (_set("tests", 0, "outcomes", 0, "points_to", ["z"]), "tests.0.outcomes.0.points_to", "map_section_unknown"),
        (_set("tests", 0, "outcomes", 0, "points_to", []), "tests.0", "map_test_tells_nothing"),
        (_set("tests", 0, "strength", "none"), "tests.0", "map_test_tells_nothing"),
        (_set("tests", 0, "strength", "sure"), "tests.0.strength", "value_not_allowed"),
        (_set("tests", 0, "run_minutes", -5), "tests.0.run_minutes", "below_limit"),
        (_set("tests", 0, "outcomes", 1, "points_to", ["b"]), "tests.0.outcomes.1.points_to", "map_points_to_second"),
        (_set("tests", 0, "outcomes", 0, {"id": "yes", "name": "yes"}), "tests.0.outcomes.0.points_to",
         "map_points_to_missing"),
        (_set("tests", 0, "outcomes", [{"id": n, "name": n, "points_to": ["a"]} for n in "xyz"]), "tests.0.outcomes",
         "map_short_form_two"),
        (_set("tests", 0, "outcomes", [{"id": "x", "name": "x", "points_to": ["a"]}]), "tests.0.outcomes", "map_count"),
        (_set("tests", 0, "outcomes", 0, "likelihood", {"*": 0.5}), "tests.0.outcomes.1.likelihood",
         "map_likelihood_missing"),
        (_set("tests", 0, "outcomes", 0, "likelihood", {"*": 0.5}), "tests.0.outcomes.0.points_to", "map_two_forms"),
        (_set("tests", 0, chances("t", {**OWN, "y": {"a": 0.2, "*": 0.9}})), "tests.0.outcomes", "map_likelihood_sum"),
        (_set("tests", 0, chances("t", {"x": {"a": 0.9}, "y": {"a": 0.1}})), "tests.0.outcomes", "map_likelihood_gap"),
        (_set("tests", 0, chances("t", {**OWN, "x": {"z": 0.9, "*": 0.1}})), "tests.0.outcomes.0.likelihood",
         "map_section_unknown"),
        (_set("tests", 0, chances("t", {**OWN, "x": {"a": 1.9, "*": 0.1}})), "tests.0.outcomes.0.likelihood.a",
         "above_limit"),
        (_set("tests", 0, chances("t", {"x": {"*": 0.5}, "y": {"*": 0.5}})), "tests.0", "map_test_tells_nothing"),
        (_set("sections", 0, "parts", 0, "share", 0), "sections", "map_part_orphan"),
        (_set("sections", 1, "parts", [{"id": "p", "name": "other pump"}]), "sections.1.parts.0", "map_part_differs"),
        (_set("sections", 0, "parts", [{"id": "p", "name": "pump"}] * 2), "sections.0.parts", "map_id_twice"),
        (_set("nested", [{"section": "z", "map": "n"}]), "nested.0.section", "map_section_unknown"),
        (_set("nested", [{"section": "a", "map": "m"}]), "nested.0.map", "map_nested_cycle"),
        (_set("nested", [{"section": "a", "map": "n"}] * 2), "nested", "map_id_twice"),
        (_set("colour", "red"), "colour", "field_unknown"),
    ],
)  # fmt: skip
def test_each_fault_is_named(change: Callable[[Json], None], path: str, code: str) -> None:
    document = _good()
    change(document)
    found = check_map(document)
    assert found.value is None
    assert (path, code) in [(fault.path, fault.code) for fault in found.faults]
    assert all("{" not in fault_sentence(fault) and fault.code in known_codes() for fault in found.faults)


def test_all_faults_at_once() -> None:
    document = _good()
    for change in (_set("sections", 0, "prior", 0), _set("sections", 0, "feeds", ["z"]), _set("tests", 1, "id", "t")):
        change(document)
    assert {fault.code for fault in check_map(document).faults} == {
        "map_prior_zero",
        "map_section_unknown",
        "map_id_twice",
    }


def test_a_good_map_has_no_faults() -> None:
    assert check_map(_good()).faults == ()


def test_a_part_may_stand_in_several_sections_told_the_same() -> None:
    relay = {"id": "r", "name": "relay", "cost": 25}
    assert make_map([section("a", parts=[relay]), section("b", parts=[{**relay, "share": 2}])])


def test_remarks_name_what_no_test_reaches_or_splits() -> None:
    told = make_map([section(name) for name in "abcd"], [points("t", "a", "b")])
    assert [(r.path, r.code, r.found) for r in remarks(told)] == [
        ("sections.2", "map_section_untouched", "c"),
        ("sections.3", "map_section_untouched", "d"),
        ("sections", "map_sections_unsplit", "a, b"),
        ("sections", "map_sections_unsplit", "c, d"),
    ]
    assert all(remark.code in known_codes() for remark in remarks(told))


@pytest.mark.parametrize("name", SITUATIONS)
def test_the_worked_situations_are_usable_maps(name: str) -> None:
    assert situation_map(name).id == name


def test_nesting_that_runs_in_a_circle() -> None:
    def nested(name: str, child: str) -> Json:
        return {"id": name, "nested": [{"section": "a", "map": child}]}

    maps = {
        name: make_map([section("a")], **nested(name, child)) for name, child in (("x", "y"), ("y", "z"), ("z", "x"))
    }
    (fault,) = nesting_faults(maps)
    assert fault.code == "map_nested_cycle"
    assert fault.found == "x → y → z → x"
    assert nesting_faults({name: maps[name] for name in "xy"}) == ()
