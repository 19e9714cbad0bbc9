import numpy as np
import pytest

from kbapp.isolation.candidates import choices
from kbapp.isolation.economics import Economics, build_problem, fitting_cost, section_cost, section_cure
from kbapp.isolation.parts import places_of
from kbapp.records.timeline import PartEntry
from tests.isolation.examples import look, make_map, points, section

PARTS = [
    {"id": "motor", "name": "fan motor", "share": 50, "cost": 220, "labour_minutes": 60, "cure": 0.9},
    {"id": "relay", "name": "fan relay", "share": 30, "cost": 25, "labour_minutes": 10},
    {"id": "wiring", "name": "fan feed", "share": 20},
]
MAP = make_map(
    [section("fan", parts=PARTS), section("pump", cost=100, labour_minutes=50)],
    [points("t", "fan", rig="scan", setup_minutes=4), points("u", "pump", rig="scan", setup_minutes=4, run_minutes=3)],
)
FAN, PUMP = MAP.sections


def test_a_section_costs_its_costed_parts_by_share() -> None:
    assert section_cost(FAN, Economics()) == pytest.approx((0.5 * 340 + 0.3 * 45) / 0.8)
    assert section_cost(PUMP, Economics(labour_per_minute=1)) == 150
    assert section_cost(make_map([section("a")]).sections[0], Economics()) is None


def test_cures_are_weighted_by_share() -> None:
    assert section_cure(FAN) == pytest.approx(0.5 * 0.9 + 0.5 * 0.98)
    assert section_cure(PUMP) == 0.98


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, 340.0),
        ({"cost": {"value": 180, "currency": "EUR"}, "labour_minutes": 30}, 240.0),
        ({"part": "wiper"}, None),
        ({"part": "wiper", "cost": {"value": 9, "currency": "EUR"}}, 9.0),
    ],
)
def test_what_fitting_a_part_costs(more: dict[str, object], expected: float | None) -> None:
    entry = PartEntry.model_validate({"id": "e", "kind": "part", "part": "fan motor", **more})
    assert fitting_cost(entry, places_of(MAP, entry), Economics()) == expected


def test_the_cost_problem_of_a_map() -> None:
    found = look(MAP)
    problem = build_problem(found.model, [c.best for c in choices(found.model, found.evidence)], Economics())
    assert problem is not None
    assert problem.test_costs == pytest.approx([28, 14])
    assert problem.later_costs == pytest.approx(np.array([[20, 6], [20, 6]]))
    assert np.isinf(problem.repair_costs[-1])


def test_a_map_with_a_section_without_cost_has_no_costs() -> None:
    found = look(make_map([section("a", cost=5), section("b")]))
    assert build_problem(found.model, [], Economics()) is None
