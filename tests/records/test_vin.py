import string

import pytest
import vininfo
from hypothesis import given
from hypothesis import strategies as st

from kbapp.records.vin import (
    ModelYears,
    SharedVin,
    Vin,
    expected_check_digit,
    find_vins,
    fold_vin,
    read_vin,
    vin_for_sharing,
)

LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
VINS = st.text(LETTERS, min_size=17, max_size=17)
NORTH_AMERICAN = st.builds("{}{}".format, st.sampled_from("12345"), st.text(LETTERS, min_size=16, max_size=16))

# US 49 CFR 565 and its published worked examples [S]: numbers of tests only.
AGREE = ["1M8GDM9AXKP042788", "11111111111111111", "1G4AH59H45G118341", "1J9RP1A36A1644345"]


@pytest.mark.parametrize("text", AGREE)
def test_published_numbers_agree(text: str) -> None:
    assert read_vin(text).unwrap().check_digit == "agrees"


def test_a_published_number_disagrees() -> None:
    vin = read_vin("1HGCM82633A004353").unwrap()  # 5 expected [S]
    assert vin.check_digit == "disagrees"
    assert expected_check_digit(vin.text) == "5"


@pytest.mark.outside
@given(NORTH_AMERICAN)
def test_check_digit_as_vininfo_computes_it(text: str) -> None:
    other = vininfo.Vin(text)  # [L] vininfo; it ignores position 7 and lets some makers off the digit
    if not getattr(other.assembler, "uses_sae_checkdigit", True):
        return
    assert (Vin(text).check_digit == "agrees") == other.verify_checksum(check_year=False)
    corrected = Vin(text[:8] + expected_check_digit(text) + text[9:])
    assert corrected.check_digit == "agrees"
    assert vininfo.Vin(corrected.text).verify_checksum(check_year=False)


@pytest.mark.outside
@given(VINS)
def test_years_as_vininfo_lists_them(text: str) -> None:
    other = vininfo.Vin(text)  # [L]; it lists only years that have begun, and some makers put the year elsewhere
    if getattr(other.assembler, "year_position", 0) == 0:
        assert set(other.years) <= set(Vin(text).model_years().years)
        assert bool(other.years) == bool(Vin(text).model_years().years)


def test_a_check_digit_misses_37_of_512_slips() -> None:
    vin = AGREE[0]
    slips = [vin[:n] + char + vin[n + 1 :] for n in range(17) for char in LETTERS if n != 8 and char != vin[n]]
    assert len(slips) == 16 * 32
    # 37 [L]; two more slips of the first character keep the sum but leave North America
    assert sum(Vin(slip).check_digit == "agrees" for slip in slips) == 37
    assert sum(expected_check_digit(slip) == slip[8] for slip in slips) == 39


def test_outside_north_america_the_digit_does_not_apply() -> None:
    for first in set(LETTERS) - set("12345"):
        assert Vin(first + AGREE[0][1:]).check_digit == "not_applicable"


def test_both_years_are_offered_and_the_likelier_is_flagged() -> None:
    assert Vin("1M8GDM9AXKP042788").model_years() == ModelYears((1989, 2019), 1989, "position_7")
    assert Vin("1J9RP1A36A1644345").model_years() == ModelYears((1980, 2010), 2010, "position_7")
    assert Vin("WM8GDM9AXKP042788").model_years() == ModelYears((1989, 2019))
    assert Vin("WM8GDM9AX5P042788").model_years(latest=2027) == ModelYears((2005, 2035), 2005, "calendar")
    assert Vin("1M8GDMAAX5P042788").model_years(latest=2027) == ModelYears((2005, 2035), 2005, "calendar")
    assert Vin("1M8GDM9AXUP042788").model_years() == ModelYears()
    years = [Vin(f"1M8GDM9AX{code}P042788").model_years().years[0] for code in "ABCDEFGHJKLMNPRSTVWXY123456789"]
    assert years == list(range(1980, 2010))


@pytest.mark.parametrize(
    "typed",
    [
        "1m8gdm9axkp042788",
        " 1M8GDM9AXKP042788\r\n",
        "1M8-GDM9AX-KP042788",
        "1M8 GDM9 AXKP 042788",
        "I1M8GDM9AXKP042788",
        "*1M8GDM9AXKP042788*",
        "*I1M8GDM9AXKP042788*",
        "1M8GDM9AX\u2011KP042788",
    ],
)
def test_typed_and_scanned_numbers_are_read(typed: str) -> None:
    assert read_vin(typed).value == Vin("1M8GDM9AXKP042788")


@pytest.mark.parametrize(
    ("typed", "faults"),
    [
        ("", [("vin", "vin_length", "0", "17")]),
        ("1M8GDM9AXKP04278", [("vin", "vin_length", "16", "17")]),
        ("IIM8GDM9AXKP042788", [("vin.0", "vin_letter", "I", "1")]),
        (
            "IM8GDM9AXKPO4278Q",
            [("vin.0", "vin_letter", "I", "1"), ("vin.11", "vin_letter", "O", "0"), ("vin.16", "vin_letter", "Q", "0")],
        ),
        ("1ſ111111111111111", [("vin.1", "vin_character", "ſ", "")]),  # str.upper() makes an S of it
        ("１1111111111111111", [("vin.0", "vin_character", "１", "")]),
        ("1/", [("vin", "vin_length", "2", "17"), ("vin.1", "vin_character", "/", "")]),
    ],
)
def test_every_fault_of_a_number_is_named(typed: str, faults: list[tuple[str, str, str, str]]) -> None:
    checked = read_vin(typed)
    assert checked.value is None
    assert [(f.path, f.code, f.found, f.expected) for f in checked.faults] == faults


@given(st.text())
def test_reading_never_crashes_and_only_takes_the_shape(text: str) -> None:
    vin = read_vin(text).value
    if vin:
        assert len(vin.text) == 17
        assert set(vin.text) <= set(LETTERS)
    assert set(fold_vin(text)).isdisjoint(string.ascii_lowercase)


@given(VINS, st.none() | st.integers(1980, 2030))
def test_no_more_than_eight_characters_and_a_year_are_shared(text: str, year: int | None) -> None:
    shared = vin_for_sharing(text, year)
    assert shared == SharedVin(text[:8], year)
    assert str(shared) == (f"{text[:8]} {year}" if year else text[:8])
    assert text[8:] not in str(shared)


@given(st.text(LETTERS, max_size=16) | st.text(max_size=30))
def test_of_another_shape_nothing_is_shared(text: str) -> None:
    if read_vin(text).value is None:
        assert str(vin_for_sharing(text)) == ""


def test_numbers_are_found_in_running_text() -> None:
    text = "VIN 1m8gdm9axkp042788, (1G4AH59H45G118341). Not X1M8GDM9AXKP042788, nor ABCDEFGHJKLMNPRST."
    found = find_vins(text)
    assert [(one.vin.text, text[one.start : one.end]) for one in found] == [
        ("1M8GDM9AXKP042788", "1m8gdm9axkp042788"),
        ("1G4AH59H45G118341", "1G4AH59H45G118341"),
    ]
