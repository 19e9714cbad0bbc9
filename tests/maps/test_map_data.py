"""What every shipped map must hold, whatever it is about."""

import json
from importlib.resources import files

import pytest

from kbapp.maps.shipped import second_level_ids, shipped_ids, shipped_map, shipped_maps
from kbapp.records.map_check import map_faults, map_remarks, nesting_faults
from kbapp.records.map_document import check_map
from kbapp.records.section_map import TEST_KINDS, SectionMap
from kbapp.records.symptoms import symptom
from kbapp.records.vocabulary import SYSTEMS
from kbapp.resources import resource
from kbapp.wording.cautions import caution_ids

MAPS = shipped_maps()
EACH = pytest.mark.parametrize("section_map", MAPS, ids=[m.id for m in MAPS])
FOR_HIGH_VOLTAGE = frozenset({"hv_qualified", "hv_dead_state", "hv_no_bypass"})


@EACH
def test_the_checker_finds_no_fault_and_nothing_a_map_cannot_do(section_map: SectionMap) -> None:
    text = files("kbapp.maps").joinpath("data", f"{section_map.id}.json").read_bytes()
    assert check_map(json.loads(text)).faults == ()
    assert map_faults(section_map) == ()
    assert map_remarks(section_map) == ()


def test_nesting_leads_to_maps_that_ship_and_never_back() -> None:
    assert second_level_ids() <= set(shipped_ids())
    assert nesting_faults({m.id: m for m in MAPS}) == ()


def test_every_system_has_a_map_that_stands_alone() -> None:
    assert {m.system for m in MAPS if m.id not in second_level_ids()} == set(SYSTEMS)


@EACH
def test_a_map_says_where_its_figures_come_from_and_what_it_is_for(section_map: SectionMap) -> None:
    assert "Common practice" in section_map.source
    assert len(section_map.notes) > 80
    assert section_map.system in SYSTEMS
    assert section_map.prerequisites


@EACH
def test_every_concern_is_a_term_of_the_vocabulary(section_map: SectionMap) -> None:
    assert section_map.symptoms
    assert [term for term in section_map.symptoms if symptom(term) is None] == []
    assert set(section_map.priors_by_symptom) <= set(section_map.symptoms)


@EACH
def test_priors_and_shares_are_parts_of_a_hundred(section_map: SectionMap) -> None:
    assert sum(s.prior for s in section_map.sections) + section_map.not_on_map == pytest.approx(100)
    for section in section_map.sections:
        assert sum(part.share or 0 for part in section.parts) == pytest.approx(100), section.id
    for term, table in section_map.priors_by_symptom.items():
        assert set(table) == set(section_map.hypotheses()), term
        assert sum(table.values()) == pytest.approx(100), term


@EACH
def test_every_part_has_a_cost_and_minutes(section_map: SectionMap) -> None:
    parts = [part for section in section_map.sections for part in section.parts]
    assert [part.id for part in parts if part.cost is None or part.labour_minutes is None] == []


def test_one_part_id_is_one_part_in_all_maps() -> None:
    told: dict[str, set[tuple[object, ...]]] = {}
    for part in (part for m in MAPS for section in m.sections for part in section.parts):
        told.setdefault(part.id, set()).add((part.name, part.cost, part.labour_minutes, part.also_called))
    assert {name: ways for name, ways in told.items() if len(ways) > 1} == {}


@EACH
def test_every_caution_has_a_text(section_map: SectionMap) -> None:
    used = set(section_map.cautions)
    for test in section_map.tests:
        used |= set(test.cautions).union(*(substitute.cautions for substitute in test.substitutes))
    assert used <= set(caution_ids())


@EACH
def test_a_test_can_be_run_from_its_card(section_map: SectionMap) -> None:
    for test in section_map.tests:
        assert test.kind in TEST_KINDS, test.id
        assert test.run_minutes > 0, test.id
        assert len(test.steps) >= 2, test.id
        assert test.kit, test.id
        assert test.conditions or test.kind == "inspect", test.id


@EACH
def test_what_a_test_leaves_on_the_vehicle_takes_minutes_to_undo(section_map: SectionMap) -> None:
    assert [test.id for test in section_map.tests if test.undo and not test.restore_minutes] == []


@EACH
def test_no_substitute_is_as_strong_as_its_test(section_map: SectionMap) -> None:
    for substitute in (substitute for test in section_map.tests for substitute in test.substitutes):
        assert substitute.strength == "weak", substitute.id
        assert substitute.steps, substitute.id
        assert substitute.kit, substitute.id


@EACH
def test_readings_name_places_and_the_source_of_each_limit(section_map: SectionMap) -> None:
    for test in section_map.tests:
        if test.readings is not None:
            assert test.readings.places, test.id
            assert test.readings.resolution, test.id
            assert all(limit.source for limit in test.readings.limits), test.id


@EACH
def test_a_rig_has_a_set_up_to_share(section_map: SectionMap) -> None:
    assert [test.id for test in section_map.tests if test.rig and not test.setup_minutes] == []


def test_clamps_are_the_last_resort_everywhere() -> None:
    for m in MAPS:
        for test in m.tests:
            assert not any("clamp" in kit and "hose" in kit for kit in test.kit), test.id
            for substitute in test.substitutes:
                if any("hose clamp" in kit for kit in substitute.kit):
                    assert "hose_clamp_last_resort" in substitute.cautions
                    assert substitute.undo


def test_high_voltage_is_measured_by_qualified_people_in_the_dead_state() -> None:
    touched = [t for m in MAPS for t in m.tests if any("high-voltage" in kit or "insulation" in kit for kit in t.kit)]
    assert len(touched) >= 4
    for test in touched:
        assert test.qualification
        assert set(test.cautions) >= FOR_HIGH_VOLTAGE
        assert "Not qualified: refer out." in test.note
        assert {"qualified", "dead_proved"} <= {condition.id for condition in test.conditions}


def test_refrigerant_gauges_are_for_certified_people() -> None:
    for test in (t for m in MAPS for t in m.tests if any("air conditioning service" in kit for kit in t.kit)):
        assert test.qualification, test.id
        assert "refrigerant" in test.cautions


def test_stability_work_asks_for_the_base_brakes_first() -> None:
    stability = shipped_map("stability-braking")
    assert stability.good_first == ("base_brakes", "tyres_geometry")
    assert stability.test("view_check") is not None


def test_high_voltage_is_never_bypassed() -> None:
    for m in (m for m in MAPS if m.system == "hybrid_ev"):
        assert {"hv_no_bypass", "hv_qualified"} <= set(m.cautions), m.id
        bypasses = [test for test in m.tests if test.kind == "bypass"]
        assert all("no_mains" in {condition.id for condition in test.conditions} for test in bypasses), m.id


@pytest.mark.parametrize("words", [m.id for m in MAPS] + sorted({kit for m in MAPS for t in m.tests for kit in t.kit}))
def test_the_docs_name_every_map_and_all_kit(words: str) -> None:
    assert f"`{words}`" in (resource("docs") / "maps.md").read_text(encoding="utf-8")
