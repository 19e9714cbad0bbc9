"""What people call the units: symbols whose letter case tells them apart, and words in any case."""

import re
from functools import lru_cache
from typing import Final

from kbapp.records.units import Unit, unit, units

# Letter case counts here: m is a metre and M is nothing, mΩ and MΩ are nine powers of ten apart.
_SYMBOLS: Final[dict[str, str]] = {
    "V": "V", "A": "A", "Ω": "ohm", "mΩ": "mohm", "kΩ": "kohm", "MΩ": "Mohm", "mohm": "mohm", "Mohm": "Mohm",
    "C": "degC", "F": "degF", "K": "K", "N": "N", "kN": "kN", "g": "g", "m": "m", "s": "s", "h": "h", "W": "W",
    "L": "L", "l": "L", "Pa": "Pa", "%": "percent", "°": "deg", '"': "in", "″": "in",
}  # fmt: skip
_WORDS: Final[dict[str, str]] = {
    "kpa": "kPa", "mpa": "MPa", "mbar": "mbar", "millibar": "mbar", "bar": "bar", "bars": "bar", "psi": "psi",
    "inhg": "inHg", "in hg": "inHg", "in. hg": "inHg", '"hg': "inHg", "inches of mercury": "inHg",
    "inh2o": "inH2O", "inh₂o": "inH2O", "in h2o": "inH2O", '"h2o': "inH2O", "inches of water": "inH2O",
    "volt": "V", "volts": "V", "mv": "mV", "millivolt": "mV", "millivolts": "mV", "kv": "kV",
    "kilovolt": "kV", "kilovolts": "kV",
    "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "ma": "mA", "milliamp": "mA", "milliamps": "mA",
    "µa": "uA", "ua": "uA", "microamp": "uA", "microamps": "uA",
    "ohm": "ohm", "ohms": "ohm", "kohm": "kohm", "kohms": "kohm", "kilohm": "kohm", "kilohms": "kohm",
    "kilo-ohm": "kohm", "kilo-ohms": "kohm", "megohm": "Mohm", "megohms": "Mohm", "milliohm": "mohm",
    "milliohms": "mohm",
    "°c": "degC", "degc": "degC", "deg c": "degC", "degrees c": "degC", "celsius": "degC", "degrees celsius": "degC",
    "degree celsius": "degC",
    "°f": "degF", "degf": "degF", "deg f": "degF", "degrees f": "degF", "fahrenheit": "degF",
    "degrees fahrenheit": "degF", "degree fahrenheit": "degF", "kelvin": "K",
    "µm": "um", "um": "um", "micron": "um", "microns": "um", "mm": "mm", "millimetre": "mm", "millimetres": "mm",
    "millimeter": "mm", "millimeters": "mm", "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm",
    "centimeters": "cm", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "km": "km", "kms": "km",
    "kilometre": "km", "kilometres": "km", "kilometer": "km", "kilometers": "km", "in": "in", "inch": "in",
    "inches": "in", "ft": "ft", "foot": "ft", "feet": "ft", "mi": "mi", "mile": "mi", "miles": "mi",
    "nm": "Nm", "n·m": "Nm", "n.m": "Nm", "n m": "Nm", "n-m": "Nm", "newton metre": "Nm", "newton metres": "Nm",
    "newton meter": "Nm", "newton meters": "Nm",
    "lbf·ft": "lbf_ft", "lbf ft": "lbf_ft", "lb-ft": "lbf_ft", "lb·ft": "lbf_ft", "lb ft": "lbf_ft", "lbs-ft": "lbf_ft",
    "ft-lb": "lbf_ft", "ft-lbs": "lbf_ft", "ft lb": "lbf_ft", "ft lbs": "lbf_ft", "ft·lb": "lbf_ft", "ft·lbf": "lbf_ft",
    "ft-lbf": "lbf_ft", "foot-pounds": "lbf_ft", "foot pounds": "lbf_ft", "pound-feet": "lbf_ft",
    "pound feet": "lbf_ft",
    "lbf·in": "lbf_in", "in-lb": "lbf_in", "in-lbs": "lbf_in", "in lb": "lbf_in", "in lbs": "lbf_in",
    "inch-pounds": "lbf_in", "inch pounds": "lbf_in",
    "newton": "N", "newtons": "N", "kn": "kN", "lbf": "lbf", "pound-force": "lbf",
    "gram": "g", "grams": "g", "kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg",
    "kilograms": "kg", "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "ml": "mL", "millilitre": "mL", "millilitres": "mL", "milliliter": "mL", "milliliters": "mL", "cc": "mL",
    "litre": "L", "litres": "L", "liter": "L", "liters": "L", "gal": "gal", "gallon": "gal", "gallons": "gal",
    "l/min": "L_min", "lpm": "L_min", "l/h": "L_h", "lph": "L_h", "cfm": "cfm", "g/s": "g_s",
    "km/h": "km_h", "kmh": "km_h", "kph": "km_h", "mph": "mph",
    "µs": "us", "microsecond": "us", "microseconds": "us", "ms": "ms", "millisecond": "ms", "milliseconds": "ms",
    "sec": "s", "secs": "s", "second": "s", "seconds": "s", "min": "min", "mins": "min", "minute": "min",
    "minutes": "min", "hr": "h", "hrs": "h", "hour": "h", "hours": "h",
    "hz": "Hz", "hertz": "Hz", "khz": "kHz", "kilohertz": "kHz", "rpm": "rpm", "r/min": "rpm", "1/min": "rpm",
    "rev/min": "rpm", "watt": "W", "watts": "W", "kw": "kW", "kilowatt": "kW", "kilowatts": "kW", "ah": "Ah",
    "kwh": "kWh", "percent": "percent", "per cent": "percent", "pct": "percent", "ppm": "ppm",
}  # fmt: skip
_IDS: Final = frozenset(each.id for each in units())
# The micro sign and the Greek letter, the ohm sign and the Greek letter, a full stop after an abbreviation.
_FOLD: Final = str.maketrans({"\u03bc": "µ", "\u2126": "Ω", "⋅": "·", "•": "·", "\xa0": " ", "\u202f": " "})


def fold_unit(text: str) -> str:
    """Returns a text of the same length with look-alike signs made one, so that offsets stay true."""
    return text.translate(_FOLD)


@lru_cache(maxsize=1)
def _words() -> dict[str, str]:
    return {name.casefold(): unit_id for name, unit_id in _WORDS.items()}


def unit_of(text: str) -> Unit | None:
    """Returns the unit a text names by id, symbol or word, or None."""
    name = fold_unit(text).strip()
    found = _SYMBOLS.get(name) or _words().get(name.casefold().rstrip("."))
    if found:
        return unit(found)
    return unit(name) if name in _IDS else None


@lru_cache(maxsize=1)
def unit_pattern() -> str:
    """Returns a regular expression that matches every name, the longest first, up to the end of a word."""

    def alternatives(names: dict[str, str], *, ended: bool) -> str:
        chosen = sorted((name for name in names if name[-1].isalnum() is ended), key=len, reverse=True)
        return "|".join(map(re.escape, chosen))

    words = rf"(?i:{alternatives(_WORDS, ended=True)})(?![A-Za-z0-9])"
    symbols = rf"(?:{alternatives(_SYMBOLS, ended=True)})(?![A-Za-z0-9])"
    return rf"(?:{words}|{symbols}|{alternatives(_SYMBOLS, ended=False)})"
