"""Units of the workshop: one table of constants, conversion within a dimension, and how a quantity is written.

A temperature and a difference of temperatures are two dimensions: 10 °C is 50 °F, 10 °C warmer is 18 °F warmer.
Sources of the constants: NIST SP 811 Appendix B (exact where the definition is: inch, pound, pound-force, gallon).
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from kbapp.errors import InputError

Measures = Literal["metric", "us"]

_POUND: Final = 0.45359237  # kg
_GRAVITY: Final = 9.80665  # m/s²
_INCH: Final = 0.0254  # m
_POUND_FORCE: Final = _POUND * _GRAVITY  # N
_GALLON: Final = 231 * (_INCH * 10) ** 3  # L
_CUBIC_FOOT: Final = (12 * _INCH * 10) ** 3  # L
_POINT: Final = _POUND_FORCE / _INCH**2 / 1000  # kPa, one pound-force per square inch


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: value × ``factor`` + ``offset`` is the value in the base unit of its ``dimension``.

    ``other`` names the unit a shop of the other measures reads instead (empty: both read this one).
    """

    id: str
    symbol: str
    dimension: str
    factor: float
    offset: float = 0.0
    measures: Measures | None = None
    other: str = ""


_UNITS: Final = (
    Unit("Pa", "Pa", "pressure", 0.001, measures="metric", other="psi"),
    Unit("kPa", "kPa", "pressure", 1.0, measures="metric", other="psi"),
    Unit("MPa", "MPa", "pressure", 1000.0, measures="metric", other="psi"),
    Unit("mbar", "mbar", "pressure", 0.1, measures="metric", other="psi"),
    Unit("bar", "bar", "pressure", 100.0, measures="metric", other="psi"),
    Unit("psi", "psi", "pressure", _POINT, measures="us", other="bar"),
    Unit("inHg", "inHg", "pressure", 3.386389, measures="us", other="kPa"),
    Unit("inH2O", "inH₂O", "pressure", 0.2490889, measures="us", other="kPa"),
    Unit("V", "V", "voltage", 1.0),
    Unit("mV", "mV", "voltage", 0.001),
    Unit("kV", "kV", "voltage", 1000.0),
    Unit("A", "A", "current", 1.0),
    Unit("mA", "mA", "current", 0.001),
    Unit("uA", "µA", "current", 1e-6),
    Unit("ohm", "Ω", "resistance", 1.0),
    Unit("mohm", "mΩ", "resistance", 0.001),
    Unit("kohm", "kΩ", "resistance", 1000.0),
    Unit("Mohm", "MΩ", "resistance", 1e6),
    Unit("degC", "°C", "temperature", 1.0, 273.15, "metric", "degF"),
    Unit("degF", "°F", "temperature", 5 / 9, 459.67 * 5 / 9, "us", "degC"),
    Unit("K", "K", "temperature", 1.0, 0.0, "metric", "degF"),
    Unit("delta_degC", "°C", "temperature_difference", 1.0, 0.0, "metric", "delta_degF"),
    Unit("delta_degF", "°F", "temperature_difference", 5 / 9, 0.0, "us", "delta_degC"),
    Unit("um", "µm", "length", 1e-6, measures="metric", other="in"),
    Unit("mm", "mm", "length", 0.001, measures="metric", other="in"),
    Unit("cm", "cm", "length", 0.01, measures="metric", other="in"),
    Unit("m", "m", "length", 1.0, measures="metric", other="ft"),
    Unit("km", "km", "length", 1000.0, measures="metric", other="mi"),
    Unit("in", "in", "length", _INCH, measures="us", other="mm"),
    Unit("ft", "ft", "length", 12 * _INCH, measures="us", other="m"),
    Unit("mi", "mi", "length", 63360 * _INCH, measures="us", other="km"),
    Unit("Nm", "N·m", "torque", 1.0, measures="metric", other="lbf_ft"),
    Unit("lbf_ft", "lbf·ft", "torque", _POUND_FORCE * 12 * _INCH, measures="us", other="Nm"),
    Unit("lbf_in", "lbf·in", "torque", _POUND_FORCE * _INCH, measures="us", other="Nm"),
    Unit("N", "N", "force", 1.0, measures="metric", other="lbf"),
    Unit("kN", "kN", "force", 1000.0, measures="metric", other="lbf"),
    Unit("lbf", "lbf", "force", _POUND_FORCE, measures="us", other="N"),
    Unit("g", "g", "mass", 0.001, measures="metric"),
    Unit("kg", "kg", "mass", 1.0, measures="metric", other="lb"),
    Unit("lb", "lb", "mass", _POUND, measures="us", other="kg"),
    Unit("mL", "mL", "volume", 0.001, measures="metric"),
    Unit("L", "L", "volume", 1.0, measures="metric", other="gal"),
    Unit("gal", "gal", "volume", _GALLON, measures="us", other="L"),
    Unit("L_min", "L/min", "flow", 1.0, measures="metric"),
    Unit("L_h", "L/h", "flow", 1 / 60, measures="metric"),
    Unit("cfm", "cfm", "flow", _CUBIC_FOOT, measures="us", other="L_min"),
    Unit("g_s", "g/s", "mass_flow", 1.0),
    Unit("km_h", "km/h", "speed", 1 / 3.6, measures="metric", other="mph"),
    Unit("mph", "mph", "speed", 63360 * _INCH / 3600, measures="us", other="km_h"),
    Unit("us", "µs", "time", 1e-6),
    Unit("ms", "ms", "time", 0.001),
    Unit("s", "s", "time", 1.0),
    Unit("min", "min", "time", 60.0),
    Unit("h", "h", "time", 3600.0),
    Unit("Hz", "Hz", "frequency", 1.0),
    Unit("kHz", "kHz", "frequency", 1000.0),
    Unit("rpm", "rpm", "rotation", 1.0),
    Unit("W", "W", "power", 1.0),
    Unit("kW", "kW", "power", 1000.0),
    Unit("Ah", "Ah", "charge", 1.0),
    Unit("kWh", "kWh", "energy", 1.0),
    Unit("percent", "%", "ratio", 0.01),
    Unit("ppm", "ppm", "ratio", 1e-6),
    Unit("deg", "°", "angle", 1.0),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value and the id of its unit."""

    value: float
    unit: str


@lru_cache(maxsize=1)
def _by_id() -> dict[str, Unit]:
    return {unit.id: unit for unit in _UNITS}


def units() -> tuple[Unit, ...]:
    """Returns every unit of the table."""
    return _UNITS


def unit(unit_id: str) -> Unit:
    """Returns a unit of the table.

    Raises:
        InputError: ``unit_unknown``.
    """
    found = _by_id().get(unit_id)
    if found is None:
        raise InputError("unit_unknown", found=unit_id)
    return found


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Returns a value in another unit of the same dimension.

    Raises:
        InputError: ``unit_unknown``, or ``unit_mismatch`` where the dimensions differ.
    """
    start, end = unit(from_unit), unit(to_unit)
    if start.dimension != end.dimension:
        raise InputError("unit_mismatch", found=start.symbol, expected=end.symbol)
    return value if start is end else (value * start.factor + start.offset - end.offset) / end.factor


def preferred_unit(unit_id: str, measures: Measures) -> Unit:
    """Returns the unit a shop reads instead of this one; itself where it is of those measures or of both."""
    own = unit(unit_id)
    return own if own.measures in (None, measures) or not own.other else unit(own.other)


def preferred(quantity: Quantity, measures: Measures) -> Quantity:
    """Returns a quantity in the unit a shop reads."""
    target = preferred_unit(quantity.unit, measures)
    return Quantity(convert(quantity.value, quantity.unit, target.id), target.id)


def show_quantity(quantity: Quantity, measures: Measures | None = None) -> str:
    """Returns a quantity as it is written (``11.8 V``, ``2.41 bar``, ``Δ18 °F``); ``measures`` converts it first.

    A converted value has three significant digits, or all those before the decimal point.
    """
    shown = preferred(quantity, measures) if measures else quantity
    own = unit(shown.unit)
    digits = show_number(shown.value, 3 if shown.unit != quantity.unit else 12)
    sign = "Δ" if own.dimension == "temperature_difference" else ""
    gap = "" if own.id == "deg" else " "
    return f"{sign}{digits}{gap}{own.symbol}"


def show_number(value: float, significant: int) -> str:
    """Returns a number in plain digits, never fewer than those before the decimal point, without trailing zeros."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    decimals = min(max(0, significant - 1 - math.floor(math.log10(abs(value)))), 12)
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text.replace("-", "−")
