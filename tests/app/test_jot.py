import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbapp.app.jot import Jot, KnownVehicles, case_from_jot, vehicle_from_line
from kbapp.errors import InputError
from kbapp.records.base import clean_text
from kbapp.records.case import Shop, Vehicle
from kbapp.records.case_document import check_case

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
KNOWN = KnownVehicles(("Kestrow", "Brennick"), ("Lindle", "Drovane"), ("K20D", "B20D"))


def test_five_lines_become_a_case() -> None:
    jot = Jot.from_text(
        "Cranks slowly when hot\nKestrow Lindle K20D 2018 143,000 km\nbattery, starter\n"
        "Drop on the ground side 0.9 V\nGround strap"
    )
    case = case_from_jot(jot, SHOP, "IK", KNOWN)
    assert case.state == "repaired"
    assert case.concern.text == "Cranks slowly when hot"
    assert case.vehicle is not None
    assert (case.vehicle.make, case.vehicle.family, case.vehicle.engine) == ("Kestrow", "Lindle", "K20D")
    assert case.vehicle.model_year == 2018
    assert case.vehicle.odometer is not None
    assert (case.vehicle.odometer.value, case.vehicle.odometer.unit) == (143_000, "km")
    assert [(entry.kind, entry.source) for entry in case.timeline] == [("note", "reported"), ("finding", "own")]
    assert case.correction is not None
    assert case.correction.text == "Ground strap"
    assert check_case(case.plain()).value == case


def test_the_concern_alone_is_enough() -> None:
    case = case_from_jot(Jot.from_text("whines on overrun"), SHOP, "IK")
    assert (case.state, case.vehicle, case.timeline, case.correction) == ("open", None, (), None)


def test_bars_stand_for_line_breaks_and_further_lines_join_the_last() -> None:
    jot = Jot.from_text("a | b | c | d | e\nf")
    assert jot == Jot("a", "b", "c", "d", "e\nf")


@pytest.mark.parametrize("text", ["", "   ", "\n\nsomething below a blank first line"[0:1]])
def test_a_blank_concern_is_refused(text: str) -> None:
    with pytest.raises(InputError) as refused:
        case_from_jot(Jot.from_text(text), SHOP, "IK")
    assert refused.value.code == "jot_without_concern"


def test_an_overlong_line_is_refused_before_anything_is_made() -> None:
    with pytest.raises(InputError) as refused:
        case_from_jot(Jot("x" * 10_000_000), SHOP, "IK")
    assert refused.value.code == "jot_line_too_long"


def test_words_the_book_does_not_know_are_kept_as_the_family() -> None:
    assert vehicle_from_line("old grey thing, 2009, 98000 mi", KNOWN) == Vehicle(
        family="old grey thing",
        model_year=2009,
        odometer={"value": 98_000, "unit": "mi"},
    )


@given(st.text(max_size=300), st.text(max_size=200), st.text(max_size=100), st.text(max_size=100))
def test_whatever_is_typed_makes_a_valid_case(concern: str, vehicle: str, tried: str, fixed: str) -> None:
    jot = Jot(concern, vehicle, tried, "", fixed)
    if not clean_text(concern):
        with pytest.raises(InputError, match="jot_without_concern"):
            case_from_jot(jot, SHOP, "IK", KNOWN)
        return
    case = case_from_jot(jot, SHOP, "IK", KNOWN)
    assert check_case(case.plain()).value == case
