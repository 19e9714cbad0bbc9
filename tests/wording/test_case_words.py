import pytest

from kbapp.app.practice import practice_files
from kbapp.records.case import Case, Shop, SignOff, Vehicle
from kbapp.records.case_document import read_case
from kbapp.records.timeline import Money, PartEntry, Reading, TestEntry
from kbapp.wording.case_words import (
    entry_details,
    entry_title,
    moment_words,
    money_words,
    plain_words,
    readings_words,
    retest_title,
    signed_words,
    vehicle_words,
)


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        ("2025-05", "May 2025"),
        ("2025-07-08", "8 Jul 2025"),
        ("2025-07-08T10:10:00+02:00", "8 Jul 2025, 10:10"),
        ("2025-12-31T23:59:59.5Z", "31 Dec 2025, 23:59"),
        ("", ""),
        (None, ""),
    ],
)
def test_moments_as_far_as_they_are_known(moment: str | None, words: str) -> None:
    assert moment_words(moment) == words


def test_readings_stand_by_place_with_their_unit_once() -> None:
    readings = (
        Reading(where="inlet", value=104, unit="degC", repeat=1),
        Reading(where="outlet", value=41, unit="degC", repeat=1),
        Reading(where="inlet", value=105.5, unit="degC", repeat=2),
        Reading(where="outlet", value=43, unit="degC", repeat=2),
    )  # fmt: skip
    assert readings_words(readings) == "inlet 104 105.5 · outlet 41 43\u00a0°C"
    mixed = (Reading(where="plug", value=13.7, unit="V"), Reading(where="fan", value=34, unit="A"))
    assert readings_words(mixed) == "plug 13.7\u00a0V · fan 34\u00a0A"
    assert readings_words((Reading(value="no colour change"),)) == "no colour change"
    assert readings_words(()) == ""


def test_names_and_amounts() -> None:
    assert plain_words("radiator_spread") == "Radiator spread"
    assert plain_words("LF caliper") == "LF caliper"
    assert money_words(Money(value=1140, currency="EUR")) == "1,140 EUR"
    assert money_words(Money(value=12.5, currency="EUR")) == "12.50 EUR"
    assert money_words(None) == ""
    assert vehicle_words(Vehicle(make="Brennick", family="Drovane", model_year=2019)) == "Brennick Drovane, 2019"
    assert vehicle_words(None) == ""


def test_a_planned_part_says_what_for_and_why() -> None:
    entry = PartEntry(
        id="e1", kind="part", part="thermostat", position="front", stage="planned", reason="opens late",
        cost=Money(value=60, currency="EUR"), labour_minutes=70, found="opens at 83 °C.",
    )  # fmt: skip
    assert entry_title(entry) == "Thermostat, front: planned"
    assert entry_details(entry) == "60 EUR, 70 min, to find the fault. Why: opens late. Found on it: opens at 83 °C."


def test_what_was_not_met_is_said() -> None:
    entry = TestEntry.model_validate({
        "id": "e1", "kind": "test", "test": "gas_test", "status": "unclear", "why": "fluid too old",
        "conditions": [{"id": "warm_engine", "met": False}, {"id": "idle", "met": True}],
    })  # fmt: skip
    assert entry_details(entry) == "Not met: Warm engine. Fluid too old"


def test_a_retest_of_a_line_that_is_gone_is_still_a_retest() -> None:
    case = _case("0067")
    assert retest_title(case, case.retest[0]) == "Retest: Radiator spread, as line 8"
    assert retest_title(case, case.retest[0].model_copy(update={"repeats": "gone"})) == "Retest: Radiator spread"


def test_who_signed_and_where() -> None:
    case = _case("0067")
    assert signed_words(case, signed_here=True) == "MH, lead, 11 Jul 2025, 16:10"
    other = case.model_copy(update={
        "shop": Shop(id="8d2e61f4-17c3-4f0a-b6a5-94e0c7d3aa25", name="Copperhill Auto Electrics"),
        "sign_off": SignOff(by="PB", role="lead", at="2025-07"),
    })  # fmt: skip
    assert signed_words(other, signed_here=False) == (
        "Signed elsewhere, not by this shop's lead: PB, lead, Jul 2025, Copperhill Auto Electrics. "
        "Not counted in your numbers."
    )
    assert signed_words(case.model_copy(update={"sign_off": None}), signed_here=False) == ""


def _case(number: str) -> Case:
    path = next(path for path in practice_files() if path.name.startswith(number))
    return read_case(path.read_bytes()).unwrap(path.name)
