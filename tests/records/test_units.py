import math
from itertools import product

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbapp.errors import InputError
from kbapp.records.units import (
    Measures,
    Quantity,
    convert,
    preferred,
    preferred_unit,
    show_number,
    show_quantity,
    unit,
    units,
)

IDS = [each.id for each in units()]
MEASURES: tuple[Measures, ...] = ("metric", "us")
VALUES = st.floats(-1e6, 1e6, allow_nan=False)
PINT_NAMES = {
    "Mohm": "megaohm",
    "mohm": "milliohm",
    "kohm": "kiloohm",
    "uA": "uA",
    "delta_degC": "delta_degC",
    "Nm": "N*m",
    "lbf_ft": "lbf*ft",
    "lbf_in": "lbf*inch",
    "inHg": "inHg",
    "inH2O": "inH2O",
    "in": "inch",
    "h": "hour",
    "min": "minute",
    "L_min": "L/min",
    "L_h": "L/h",
    "cfm": "ft**3/min",
    "g_s": "g/s",
    "km_h": "km/h",
    "mph": "mile/hour",
    "Ah": "A*hour",
    "kWh": "kW*hour",
    "mi": "mile",
    "gal": "gallon",
    "psi": "psi",
    "deg": "degree",
    "us": "us",
    "um": "um",
    "lb": "pound",
    "A": "ampere",
    "K": "kelvin",
    "s": "second",
}


@pytest.fixture(scope="module")
def registry() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry()


@pytest.mark.outside
def test_every_conversion_as_pint_makes_it(registry: "pint.UnitRegistry[float]") -> None:
    for one, other in product(IDS, IDS):
        if unit(one).dimension != unit(other).dimension:
            continue
        expected = registry.Quantity(11.75, PINT_NAMES.get(one, one)).to(PINT_NAMES.get(other, other)).magnitude  # [L]
        assert convert(11.75, one, other) == pytest.approx(expected, rel=2e-7)


@pytest.mark.parametrize(
    ("from_unit", "to_unit", "factor"),
    [
        # NIST SP 811 Appendix B [M], as worked figures
        ("psi", "kPa", 6.894757),
        ("bar", "kPa", 100),
        ("inHg", "kPa", 3.386389),
        ("inH2O", "kPa", 0.2490889),
        ("lbf_ft", "Nm", 1.355818),
        ("lbf", "N", 4.448222),
        ("in", "mm", 25.4),
        ("mi", "km", 1.609344),
        ("gal", "L", 3.785412),
        ("cfm", "L_min", 28.31685),
        ("lb", "kg", 0.4535924),
    ],
)
def test_published_factors(from_unit: str, to_unit: str, factor: float) -> None:
    assert convert(1, from_unit, to_unit) == pytest.approx(factor, rel=2e-7)


def test_a_temperature_is_no_difference_of_temperatures() -> None:
    assert convert(10, "degC", "degF") == pytest.approx(50)
    assert convert(10, "delta_degC", "delta_degF") == pytest.approx(18)
    assert convert(-40, "degF", "degC") == pytest.approx(-40)
    assert convert(0, "degC", "K") == 273.15
    with pytest.raises(InputError) as caught:
        convert(10, "degC", "delta_degC")
    assert caught.value.code == "unit_mismatch"


@given(VALUES, st.sampled_from(IDS), st.sampled_from(IDS))
def test_conversions_come_back(value: float, one: str, other: str) -> None:
    if unit(one).dimension == unit(other).dimension:
        back = convert(convert(value, one, other), other, one)
        assert math.isclose(back, value, rel_tol=1e-9, abs_tol=1e-6)


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        unit("furlong")
    assert (caught.value.code, caught.value.values) == ("unit_unknown", {"found": "furlong"})


def test_each_shop_reads_units_of_its_own_measures() -> None:
    for one, measures in product(IDS, MEASURES):
        target = preferred_unit(one, measures)
        assert target.measures in (None, measures) or target.id == one
        assert target.dimension == unit(one).dimension
        assert preferred(Quantity(1, one), measures).unit == target.id
        assert preferred_unit(target.id, measures) == target


@pytest.mark.parametrize(
    ("value", "unit_id", "own", "metric", "us"),
    [
        (11.8, "V", "11.8 V", "11.8 V", "11.8 V"),
        (35, "psi", "35 psi", "2.41 bar", "35 psi"),
        (103, "degC", "103 °C", "103 °C", "217 °F"),
        (10, "delta_degC", "Δ10 °C", "Δ10 °C", "Δ18 °F"),
        (2.5, "mm", "2.5 mm", "2.5 mm", "0.0984 in"),
        (184000, "km", "184000 km", "184000 km", "114332 mi"),
        (-20, "degC", "−20 °C", "−20 °C", "−4 °F"),
        (0.02, "A", "0.02 A", "0.02 A", "0.02 A"),
        (1 / 3, "in", "0.333333333333 in", "8.47 mm", "0.333333333333 in"),
        (12, "deg", "12°", "12°", "12°"),
        (0, "psi", "0 psi", "0 bar", "0 psi"),
    ],
)
def test_quantities_are_written(value: float, unit_id: str, own: str, metric: str, us: str) -> None:
    quantity = Quantity(value, unit_id)
    assert (show_quantity(quantity), show_quantity(quantity, "metric"), show_quantity(quantity, "us")) == (
        own,
        metric,
        us,
    )


@given(st.floats(-1e9, 1e9), st.integers(1, 12))
def test_numbers_are_written_in_plain_digits(value: float, significant: int) -> None:
    text = show_number(value, significant)
    assert set(text) <= set("−0123456789.")
    assert math.isclose(float(text.replace("−", "-")), value, rel_tol=10 ** (1 - significant), abs_tol=1e-12)
