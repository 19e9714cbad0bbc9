"""What a jot could become, one suggestion at a time."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.app.jot import Jot, KnownVehicles, case_from_jot
from kbapp.app.part_names import PartNames
from kbapp.app.suggestions import Known, Suggestion, accept, suggest
from kbapp.maps.shipped import shipped_maps
from kbapp.records.case import Case, Shop
from kbapp.records.case_document import check_case
from kbapp.records.timeline import PartEntry, Reading, TestEntry

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
KNOWN = Known(
    KnownVehicles(("Brennick",), ("Drovane",), ("B20D",)), PartNames.gathered(shipped_maps(), ("door seal", "hub"))
)
JOT = Jot(
    "Runs hot in traffic, P0217 stored ECM",
    "Brennick Drovane B20D 2019 128 400 km",
    "two thermostats, no change; radiator, better; left front caliper no change",
    "radiator spread: inlet 104 °C, outlet 41 °C at full fan",
    "water pump",
)


def _case(jot: Jot = JOT) -> Case:
    return case_from_jot(jot, SHOP, "IK", KnownVehicles())


def _found(case: Case, kind: str) -> list[Suggestion]:
    return [suggestion for suggestion in suggest(case, KNOWN) if suggestion.kind == kind]


def test_each_kind_is_read_out_of_a_jot() -> None:
    case = _case()
    assert next(s.value for s in _found(case, "symptom")) == "overheats in traffic"
    assert [(s.value, s.status, s.module) for s in _found(case, "code")] == [("P0217", "stored", "ECM")]
    assert {(s.field, s.value) for s in _found(case, "vehicle")} == {
        ("make", "Brennick"), ("family", "Drovane"), ("engine", "B20D"),
    }  # fmt: skip
    assert [(s.value, s.position, s.effect) for s in _found(case, "part")][:2] == [
        ("thermostat", "", "unchanged"), ("radiator", "", "better"),
    ]  # fmt: skip
    assert [s.value for s in _found(case, "correction_part")] == ["water pump"]
    reading = _found(case, "reading")[0]
    assert reading.value == "radiator spread"
    assert [(r.where, r.value, r.unit) for r in reading.readings] == [("inlet", 104, "degC"), ("outlet", 41, "degC")]


def test_taking_all_over_leaves_a_sound_case_and_nothing_to_suggest() -> None:
    case = _case()
    for n in range(40):
        left = suggest(case, KNOWN)
        if not left:
            break
        case = accept(case, left[0], f"s{n}", "IK")
        assert check_case(case.plain()).value == case
    else:
        pytest.fail("a suggestion comes back after it was taken over")
    assert case.vehicle is not None
    assert (case.vehicle.make, case.vehicle.family, case.vehicle.engine) == ("Brennick", "Drovane", "B20D")
    assert case.concern.system == "hvac_cooling"
    kinds = [
        (type(entry).__name__, getattr(entry, "part", "") or getattr(entry, "test", "")) for entry in case.timeline
    ]
    assert kinds[:3] == [("NoteEntry", ""), ("PartEntry", "thermostat"), ("PartEntry", "radiator")]
    thermostat = case.timeline[1]
    assert isinstance(thermostat, PartEntry)
    assert (thermostat.source, thermostat.effect) == ("reported", "unchanged")
    test = next(entry for entry in case.timeline if isinstance(entry, TestEntry))
    assert test.readings[0] == Reading(where="inlet", value=104.0, unit="degC")
    assert case.correction is not None
    assert [part.part for part in case.correction.parts] == ["water pump"]


def test_words_stay_where_they_are_except_a_vin() -> None:
    # an invented number of the right shape
    case = _case(Jot("stalls at idle, VIN 4BRND2D01K1284001 on the card"))
    found = _found(case, "vin")
    assert [s.value for s in found] == ["4BRND2D01K1284001"]
    after = accept(case, found[0], "s1")
    assert after.concern.text == "stalls at idle, VIN on the card"
    assert "4BRND2D01K1284001" not in after.model_dump_json()
    only = _case(Jot("4BRND2D01K1284001"))
    assert accept(only, _found(only, "vin")[0], "s1").concern.text == "…"


def test_concerns_that_only_sound_alike_are_offered_side_by_side() -> None:
    case = _case(Jot("pedal goes to the floor"))
    assert {s.value for s in _found(case, "symptom")} == {"low pedal", "sinking pedal"}


@pytest.mark.parametrize(
    "concern", ["the thermostat was looked at and is good", "radiator hose feels cold", "128 400 km on the clock"]
)
def test_a_part_merely_named_was_not_fitted_and_a_distance_is_no_reading(concern: str) -> None:
    case = _case(Jot(concern))
    assert _found(case, "part") == []
    assert _found(case, "reading") == []


def test_parts_that_stand_already_are_not_offered_again() -> None:
    case = _case()
    thermostat = next(s for s in suggest(case, KNOWN) if s.value == "thermostat")
    after = accept(case, thermostat, "s1")
    assert "thermostat" not in [s.value for s in suggest(after, KNOWN)]


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=120), st.text(max_size=80))
def test_no_words_break_the_reader(concern: str, tried: str) -> None:
    try:
        case = _case(Jot(concern or "x", tried=tried))
    except Exception:
        return
    for n, suggestion in enumerate(suggest(case, KNOWN)[:5]):
        assert check_case(accept(case, suggestion, f"s{n}").plain()).value is not None
