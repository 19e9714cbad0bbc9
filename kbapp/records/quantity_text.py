"""Reads quantities as people type them (``11.8V``, ``0,5 volt``, ``half a volt``), alone or in running text."""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from kbapp.records.number_text import NUMBER, read_number
from kbapp.records.unit_names import fold_unit, unit_of, unit_pattern
from kbapp.records.units import Quantity, Unit

_ABOUT: Final = r"(?:(?:about|approx\.?|approximately|around|circa|ca\.?|roughly|~|≈)\s*)?"
_RISE: Final = r"difference|rise|drop|spread|increase|decrease|gradient"
_MORE: Final = rf"(?:hotter|warmer|colder|cooler|higher|lower|more|less|apart|above|below|{_RISE})\b"
_DIFFERENCE_BEFORE: Final = re.compile(
    rf"(?:Δ\s*T?\s*=?\s*|\bdelta\s*t?\s*=?\s*|\b(?:{_RISE})\s+(?:of|by)\s+)$", re.IGNORECASE
)
_DIFFERENCE_BEHIND: Final = re.compile(rf"\s*-?{_MORE}", re.IGNORECASE)
_NUMBER: Final = re.compile(rf"(?<![A-Za-z0-9_.,/]){NUMBER}", re.IGNORECASE)
_RANGE: Final = re.compile(rf"\s?(?:-|–|—|…|\.\.\.?|\bto\b|\band\b)\s?(?={NUMBER})", re.IGNORECASE)
_DIFFERENCES: Final = {"degC": "delta_degC", "degF": "delta_degF", "K": "delta_degC"}
_WORD_BEHIND: Final = re.compile(r"\s+[A-Za-z]")
_THOUSANDS: Final = frozenset({"km", "mi", "rpm"})


@dataclass(frozen=True, slots=True)
class FoundQuantity:
    """A quantity at characters ``start`` to ``end`` (the first number of a range ends before the unit)."""

    quantity: Quantity
    start: int
    end: int


@lru_cache(maxsize=1)
def _whole() -> re.Pattern[str]:
    return re.compile(
        rf"{_ABOUT}(?P<delta>Δ\s*T?\s*=?\s*|delta\s*)?(?P<value>{NUMBER}|an?)\s*(?P<unit>{unit_pattern()})\.?"
        rf"(?P<more>\s+{_MORE}.*)?",
        re.IGNORECASE,
    )


@lru_cache(maxsize=1)
def _unit_behind() -> re.Pattern[str]:
    return re.compile(rf"(?P<gap>[ \-]?)(?P<unit>{unit_pattern()})")


def parse_quantity(text: str) -> Quantity | None:
    """Returns the quantity a field's text holds, or None where it holds something else or more than one.

    A decimal comma counts; three digits behind a comma are thousands only with km, miles, rpm and US units. A
    temperature said to be a difference ("10 °C warmer", "Δ10 °C") has the unit of one.
    """
    match = _whole().fullmatch(fold_unit(text).strip())
    if not match:
        return None
    named = unit_of(match["unit"])
    value = read_number(match["value"], thousands=_groups(named)) if named else None
    if named is None or value is None:
        return None
    return Quantity(value, _unit_id(named, is_difference=bool(match["delta"] or match["more"])))


def find_quantities(text: str) -> tuple[FoundQuantity, ...]:
    """Returns every quantity in running text, in its order; a range gives two."""
    folded = fold_unit(text)
    found: list[FoundQuantity] = []
    previous: re.Match[str] | None = None
    for number in _NUMBER.finditer(folded):
        behind = _unit_behind().match(folded, number.end())
        named = unit_of(behind["unit"]) if behind else None
        if behind and named and (named.id != "in" or _is_inch(number, behind)):
            unit_id = _unit_id(named, is_difference=_says_difference(folded, previous or number, behind))
            low = _found(previous, named, unit_id, previous.end()) if previous else None
            value = _found(number, named, unit_id, behind.end())
            found += [one for one in (low, value) if one]
        previous = number if _RANGE.match(folded, number.end()) else None
    return tuple(found)


def _says_difference(text: str, number: re.Match[str], behind: re.Match[str]) -> bool:
    before = text[max(0, number.start() - 30) : number.start()]
    return bool(_DIFFERENCE_BEFORE.search(before) or _DIFFERENCE_BEHIND.match(text, behind.end()))


def _found(number: re.Match[str], named: Unit, unit_id: str, end: int) -> FoundQuantity | None:
    value = read_number(number[0], thousands=_groups(named))
    return None if value is None else FoundQuantity(Quantity(value, unit_id), number.start(), end)


def _groups(named: Unit) -> bool:
    return named.measures == "us" or named.id in _THOUSANDS


def _unit_id(named: Unit, *, is_difference: bool) -> str:
    return _DIFFERENCES.get(named.id, named.id) if is_difference else named.id


def _is_inch(number: re.Match[str], behind: re.Match[str]) -> bool:
    """Returns whether "in" is the unit and not the word: "0.5 in gap" and "3in", not "found 3 in the box"."""
    if behind["unit"].lower() != "in" or not behind["gap"] or not number[0].isdigit():
        return True
    return not _WORD_BEHIND.match(behind.string, behind.end())
