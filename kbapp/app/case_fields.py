"""The fields of a case as texts one can write in: read, and set again with every fault told by its field."""

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from kbapp.app.codes_text import codes_from_text, codes_text
from kbapp.app.moment_text import moment_from_text, moment_text
from kbapp.records.base import clean_text
from kbapp.records.case import Case, CorrectionPart, Odometer
from kbapp.records.case_document import check_case
from kbapp.records.fault import Checked, Fault
from kbapp.records.number_text import read_number

LINES: Final = (
    "number", "opened", "state", "concern.system", "concern.began", "concern.since", "concern.last_good",
    "vehicle.make", "vehicle.family", "vehicle.platform", "vehicle.generation", "vehicle.engine",
    "vehicle.transmission",
    "cause.section", "cause.part", "cause.position",
)  # fmt: skip
"""Fields of one line."""
MOMENTS: Final = ("opened", "concern.since")
"""Fields that hold a moment."""
TEXTS: Final = ("concern.text", "cause.text", "correction.text", "withdrawn_reason", "lesson", "notes")
"""Fields of running text."""
LISTS: Final = ("concern.symptoms", "concern.conditions", "correction.services")
"""Lists of words, a line each."""
_ODOMETER: Final = re.compile(r"(?P<value>[\d .,'’]+k?)\s*(?P<unit>km|kms|mi|mile|miles)?", re.IGNORECASE)
_YES: Final = "yes"
_NO: Final = "no"

Reader = Callable[[Case], str]
Maker = Callable[[str], Any]


def _words(text: str) -> Any:
    return [line for line in (clean_text(line, lines=False) for line in text.split("\n")) if line]


def _year(text: str) -> Any:
    return int(text) if text.isdigit() else text


def odometer_from_text(text: str) -> Odometer | None:
    """Returns the distance in a text such as ``128 400 km`` (km where no unit is written), or None."""
    match = _ODOMETER.fullmatch(text.strip())
    value = read_number(match["value"].replace(" ", "").replace(".", ""), thousands=True) if match else None
    if match is None or value is None or value < 0:
        return None
    return Odometer(value=value, unit="mi" if (match["unit"] or "").lower().startswith("mi") else "km")


def _odometer(text: str) -> Any:
    found = odometer_from_text(text)
    return found.plain() | {"value": found.value} if found else text


def part_from_line(line: str) -> dict[str, str]:
    """Returns the fields of a correction's part written ``part, position, number``."""
    part, position, number = ([item.strip() for item in line.split(",", 2)] + ["", ""])[:3]
    return {name: value for name, value in (("part", part), ("position", position), ("number", number)) if value}


def _part_line(part: CorrectionPart) -> str:
    parts = [part.part, part.position, part.number]
    while parts and not parts[-1]:
        parts.pop()
    return ", ".join(parts)


_MAKERS: Final[Mapping[str, Maker]] = {
    **{name: lambda text: clean_text(text, lines=False) for name in LINES},
    **dict.fromkeys(TEXTS, clean_text),
    **dict.fromkeys(LISTS, _words),
    "vehicle.model_year": lambda text: _year(clean_text(text, lines=False)),
    "vehicle.odometer": lambda text: _odometer(clean_text(text, lines=False)),
    **dict.fromkeys(MOMENTS, lambda text: moment_from_text(clean_text(text, lines=False))),
    "codes": lambda text: [code.plain() for code in codes_from_text(text)],
    "cause.separated": lambda text: text != _NO,
    "correction.parts": lambda text: [part_from_line(line) for line in _words(text)],
}
FIELDS: Final = tuple(_MAKERS)
"""Every field that can be written as text."""


def field_text(case: Case, name: str) -> str:
    """Returns what stands in a field, as it would be typed; an empty text where it is absent."""
    special: Mapping[str, Reader] = {
        "vehicle.odometer": _odometer_text,
        "codes": lambda c: codes_text(c.codes),
        "cause.separated": lambda c: _NO if c.cause and not c.cause.separated else _YES,
        "correction.parts": lambda c: "\n".join(map(_part_line, c.correction.parts)) if c.correction else "",
    }
    if name in special:
        return special[name](case)
    value: Any = case
    for step in name.split("."):
        value = getattr(value, step, None)
    if name in MOMENTS and value:
        return moment_text(value)
    if isinstance(value, tuple):
        return "\n".join(value)
    return "" if value is None else str(value)


def _odometer_text(case: Case) -> str:
    odometer = case.vehicle.odometer if case.vehicle else None
    return f"{odometer.value:,.0f} {odometer.unit}".replace(",", " ") if odometer else ""


def with_fields(case: Case, texts: Mapping[str, str]) -> Checked[Case]:
    """Returns the case with other texts in some fields, or every fault with the field's path.

    A blank text leaves the field out; a part of the document of which nothing is left is left out, too.
    """
    document = case.plain()
    for name, text in texts.items():
        if text != field_text(case, name):
            _put(document, name.split("."), _MAKERS[name](text))
    return check_case(document)


def _put(document: dict[str, Any], steps: list[str], value: Any) -> None:
    first, *rest = steps
    if rest:
        inner = dict(document.get(first, {}))
        _put(inner, rest, value)
        value = inner
    if value in ("", [], {}, None) or (first == "separated" and value is True):
        document.pop(first, None)
    else:
        document[first] = value


def held_back(texts: Mapping[str, str], faults: tuple[Fault, ...]) -> dict[str, tuple[Fault, ...]]:
    """Returns which of the texts the faults keep out, each with its faults (all of them where none can be told)."""
    held: dict[str, tuple[Fault, ...]] = {}
    for fault in faults:
        names = [name for name in texts if fault.path == name or fault.path.startswith(f"{name}.")]
        top = fault.path.split(".")[0]
        for name in names or [name for name in texts if name.split(".")[0] == top] or list(texts):
            held[name] = (*held.get(name, ()), fault)
    return held
