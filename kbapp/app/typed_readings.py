"""Makes readings of what is typed beside a vehicle: a number with or without its unit, or words of the instrument."""

from kbapp.errors import InputError
from kbapp.records.number_text import read_number
from kbapp.records.quantity_text import parse_quantity
from kbapp.records.timeline import Reading
from kbapp.records.units import convert


def typed_reading(text: str, place: str, unit: str, repeat: int) -> Reading | None:
    """Returns the reading in a field, None where the field is blank.

    A quantity in another unit of the same kind is kept in the unit of the test (52 psi as kPa where the test reads
    kPa), so that repeats can be compared; any other unit stands as it was typed.
    """
    words = " ".join(text.split())[:500]
    if not words:
        return None
    number = read_number(words)
    if number is not None:
        return Reading(where=place, value=number, unit=unit, repeat=repeat)
    quantity = parse_quantity(words)
    if quantity is None:
        return Reading(where=place, value=words, unit="", repeat=repeat)
    if unit and quantity.unit != unit:
        try:
            return Reading(where=place, value=convert(quantity.value, quantity.unit, unit), unit=unit, repeat=repeat)
        except (InputError, KeyError, ValueError):
            pass
    return Reading(where=place, value=quantity.value, unit=quantity.unit, repeat=repeat)
