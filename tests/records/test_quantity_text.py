import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbapp.records.quantity_text import find_quantities, parse_quantity
from kbapp.records.units import Quantity, Unit, show_quantity, units


@pytest.mark.parametrize(
    ("text", "value", "unit_id"),
    [
        ("11.8V", 11.8, "V"),
        ("0,5 volt", 0.5, "V"),
        ("half a volt", 0.5, "V"),
        ("35 psi", 35, "psi"),
        ("103°C", 103, "degC"),
        ("2.5 mm", 2.5, "mm"),
        ("a volt", 1, "V"),
        ("one and a half bar", 1.5, "bar"),
        ("three quarters of an inch", 0.75, "in"),
        ("1 1/2 in", 1.5, "in"),
        ('3.5"', 3.5, "in"),
        ("9 in.", 9, "in"),
        ("−5 °C", -5, "degC"),
        ("184,000 km", 184_000, "km"),
        ("12,650 V", 12.65, "V"),
        ("1,200 psi", 1200, "psi"),
        ("120k miles", 120_000, "mi"),
        ("about 12 volts", 12, "V"),
        ("10 in Hg", 10, "inHg"),
        ("20 ft-lb", 20, "lbf_ft"),
        ("45 %", 45, "percent"),
        ("12 MΩ", 12, "Mohm"),
        ("3 mΩ", 3, "mohm"),
        ("10 °C warmer", 10, "delta_degC"),
        ("Δ10 °C", 10, "delta_degC"),
        ("delta 18 F", 18, "delta_degF"),
        ("10 K difference", 10, "delta_degC"),
        ("5 degrees C lower", 5, "delta_degC"),
    ],
)
def test_quantities_as_people_type_them(text: str, value: float, unit_id: str) -> None:
    quantity = parse_quantity(text)
    assert quantity is not None
    assert quantity.value == pytest.approx(value)
    assert quantity.unit == unit_id


@pytest.mark.parametrize(
    "text", ["", "V", "12", "12 parsec", "1.2.3 V", "12 V and 3 A", "12 v", "5 a", "twenty volts", "12 volt battery"]
)
def test_other_text_is_no_quantity(text: str) -> None:
    assert parse_quantity(text) is None


def test_quantities_in_running_text() -> None:
    text = (
        "Battery 11.8V cranking, 12.4-12.6 V at rest; found 3 in the box, 0.5 in gap. Drop of 10 °C, P0171-12 V, "
        "between 30 and 35 psi. 2.0 TDX; half a volt lost, 12°C lower, 205/65R16, 90 °C."
    )
    assert [(text[one.start : one.end], one.quantity.value, one.quantity.unit) for one in find_quantities(text)] == [
        ("11.8V", 11.8, "V"),
        ("12.4", 12.4, "V"),
        ("12.6 V", 12.6, "V"),
        ("0.5 in", 0.5, "in"),
        ("10 °C", 10, "delta_degC"),
        ("12 V", 12, "V"),
        ("30", 30, "psi"),
        ("35 psi", 35, "psi"),
        ("half a volt", 0.5, "V"),
        ("12°C", 12, "delta_degC"),
        ("90 °C", 90, "degC"),
    ]


@given(st.integers(1, 99_999), st.integers(0, 99), st.sampled_from([unit for unit in units() if unit.id != "K"]))
def test_what_is_written_is_read_again(whole: int, part: int, unit: Unit) -> None:
    quantity = Quantity(float(f"{whole}.{part:02}"), unit.id)
    written = show_quantity(quantity)
    assert parse_quantity(written) == quantity
    found = find_quantities(f"It was {written}, then.")
    assert [one.quantity for one in found] == [quantity]


@given(st.text() | st.text("0123456789., -–½/VAΩ°Cinpsahlfotd", max_size=60))
def test_spans_are_true_and_nothing_crashes(text: str) -> None:
    parse_quantity(text)
    last = 0
    for one in find_quantities(text):
        assert last <= one.start < one.end <= len(text)
        last = one.end


@pytest.mark.parametrize(
    "text",
    [
        "idle 850 rpm, 12.4-12.6 V, half a volt. " * 2000,
        "1" * 20_000,
        "one" + " " * 20_000,
        "1,1" * 6000,
        "1 1 1 1" * 3000,
    ],
)
def test_long_text_takes_no_time(text: str) -> None:
    start = time.process_time()
    find_quantities(text)
    assert time.process_time() - start < 2
