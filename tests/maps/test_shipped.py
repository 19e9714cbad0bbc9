import pytest

from kbapp.errors import InputError
from kbapp.maps.shipped import (
    maps_for_symptom,
    maps_for_system,
    nested_map,
    second_level_ids,
    shipped_ids,
    shipped_map,
    shipped_maps,
)
from kbapp.records.symptoms import symptoms
from kbapp.wording import sentence

ASKED_FOR = {
    "brake-low-pedal", "brake-pedal-sinks", "brake-drag", "wheel-speed-signal", "stability-braking", "steering-assist",
    "cranks-no-start", "lean-running", "misfire", "parasitic-draw", "charging", "cranking-slow", "network-down",
    "air-conditioning", "engine-overheating", "evap-leak", "transmission-engagement", "hv-insulation",
}  # fmt: skip


def test_the_ids_are_those_of_the_documents() -> None:
    assert [section_map.id for section_map in shipped_maps()] == list(shipped_ids())
    assert set(shipped_ids()) >= ASKED_FOR


def test_at_least_eighteen_maps_stand_alone_and_twelve_pinpoint() -> None:
    assert len(set(shipped_ids()) - second_level_ids()) >= 18
    assert len(second_level_ids()) >= 12


@pytest.mark.parametrize("wanted", ["", "no-such-map", "../data/misfire", "misfire.json", "MISFIRE"])
def test_an_unknown_map_is_refused_in_words(wanted: str) -> None:
    with pytest.raises(InputError) as caught:
        shipped_map(wanted)
    assert caught.value.code == "map_unknown"
    assert "kbapp map list" in sentence(caught.value)


def test_a_symptom_finds_its_own_maps_first_and_kin_only_where_none_is_drawn() -> None:
    assert [m.id for m in maps_for_symptom("low pedal")] == [
        "brake-low-pedal",
        "brake-corner-front",
        "brake-corner-rear",
    ]
    assert [m.id for m in maps_for_symptom("sinking pedal")] == ["brake-pedal-sinks", "hydraulic-unit-valves"]
    assert next(iter(maps_for_symptom("misfire"))).id == "misfire"
    kin = maps_for_symptom("stalls")
    assert "misfire" in [m.id for m in kin]
    assert all("stalls" not in m.symptoms for m in kin)
    assert maps_for_symptom("no words of ours") == ()


def test_a_system_lists_first_what_stands_alone() -> None:
    order = [m.id in second_level_ids() for m in maps_for_system("brakes_hydraulic")]
    assert order == sorted(order)
    assert maps_for_system("no system") == ()


def test_a_section_leads_to_the_map_inside_it() -> None:
    low = shipped_map("brake-low-pedal")
    inside = nested_map(low, "lf")
    assert inside is not None
    assert inside.id == "brake-corner-front"
    assert nested_map(low, "mc") is None


def test_the_main_concerns_have_a_map() -> None:
    drawn = [term.term for term in symptoms() if maps_for_symptom(term.term)]
    assert len(drawn) / len(symptoms()) > 0.75
