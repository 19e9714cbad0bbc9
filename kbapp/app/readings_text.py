"""Readings as they are typed beside a vehicle: a place a line, its repeats side by side, the unit behind the last."""

import re
from collections.abc import Iterable, Iterator
from typing import Final

from kbapp.app.typed_readings import typed_reading
from kbapp.records.base import clean_text
from kbapp.records.quantity_text import parse_quantity
from kbapp.records.timeline import Reading
from kbapp.records.units import units

_NUMBER_BEGINS: Final = re.compile(r"(?<![\w.,])[-+−]?[.\d]")

# a number with words no table of units knows: "7 dropouts per swing"
_OWN_UNIT: Final = re.compile(r"(?P<value>[-+−]?[\d.,]+) (?P<unit>[^\W\d_][^\d]{0,40})")


def readings_from_text(text: str) -> tuple[Reading, ...]:
    """Returns the readings in lines such as ``inlet: 104; 105 °C``; values are parted by semicolons.

    Without a colon the place ends where the first number begins (``inlet 104 °C``). A value without a unit has that of
    the next value that has one.
    """
    return tuple(reading for line in clean_text(text).split("\n") if line.strip() for reading in _line(line))


def _line(line: str) -> Iterator[Reading]:
    where, values = _parted(" ".join(line.split()))
    unit = ""
    found: list[Reading] = []
    for repeat, value in reversed(list(enumerate(values, 1))):
        quantity = parse_quantity(value)
        own = None if quantity else _OWN_UNIT.fullmatch(value)
        if quantity or own:
            unit = quantity.unit if quantity else own["unit"]  # type: ignore[index]
        number = own["value"] if own else value
        reading = typed_reading(number, where[:500], unit, min(repeat, 1000))
        if reading is not None:
            found.append(reading)
    yield from reversed(found)


def _parted(line: str) -> tuple[str, list[str]]:
    if ": " in line or line.endswith(":"):
        where, _colon, rest = line.partition(":")
    else:
        begins = _NUMBER_BEGINS.search(line)
        at = begins.start() if begins else 0
        where, rest = line[:at], line[at:]
    return where.strip(), [value.strip() for value in rest.split(";") if value.strip()]


def readings_text(readings: Iterable[Reading]) -> str:
    """Returns readings as such lines, in the order of their places."""
    symbols = {unit.id: unit.symbol for unit in units()}
    places: dict[str, list[Reading]] = {}
    for reading in readings:
        places.setdefault(reading.where, []).append(reading)
    return "\n".join(_place_line(where, found, symbols) for where, found in places.items())


def _place_line(where: str, readings: list[Reading], symbols: dict[str, str]) -> str:
    words = []
    for n, reading in enumerate(readings):
        value = f"{reading.value:.12g}" if isinstance(reading.value, float) else reading.value
        last = n + 1 == len(readings) or readings[n + 1].unit != reading.unit
        unit = symbols.get(reading.unit, reading.unit) if last else ""
        words.append(f"{value} {unit}".strip())
    values = "; ".join(words)
    return f"{where}: {values}" if where else values
