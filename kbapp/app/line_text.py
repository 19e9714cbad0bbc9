"""A line of the timeline, or a retest, as texts one can write in: read, and set again with every fault by its field.

Fields that no form shows (the guard's stamp, an exemption, an override) stay as they were; a field whose text was not
touched stays exactly as it was, too.
"""

import re
from collections.abc import Mapping
from typing import Any, Final, Literal

from pydantic import TypeAdapter, ValidationError

from kbapp.app.moment_text import moment_from_text, moment_text
from kbapp.app.readings_text import readings_from_text, readings_text
from kbapp.records.base import Record, clean_text
from kbapp.records.case import Retest
from kbapp.records.case_document import faults_of
from kbapp.records.fault import Checked, Fault
from kbapp.records.number_text import read_number
from kbapp.records.timeline import ConditionMet, TimelineEntry

LineKind = Literal["part", "service", "test", "finding", "note", "retest"]
_COMMON: Final = ("at", "by", "source", "text")
LINE_FIELDS: Final[Mapping[LineKind, tuple[str, ...]]] = {
    "part": ("part", "position", "stage", "effect", "purpose", "section", "found", "cost", "labour_minutes", "reason",
             *_COMMON),
    "service": _COMMON,
    "test": (
        "test", "outcome", "status", "why", "readings", "isolates", "strength", "substitute", "conditions", "kit",
        "repeat_of", "supersedes", "minutes", *_COMMON,
    ),
    "finding": ("text", "sections", "at", "by", "source"),
    "note": ("text", "at", "by", "source"),
    "retest": ("test", "repeats", "outcome", "result", "readings", "same_conditions", "conditions", "text", "at", "by"),
}  # fmt: skip
"""The fields of each kind of line in the order a technician fills them in."""
_NUMBERS: Final = ("labour_minutes", "minutes")
_LISTS: Final = ("kit", "sections")
_LONG: Final = ("text", "found", "reason")
_CONDITION: Final = re.compile(r"\[(?P<met>[xX ?])\]\s*(?P<text>.+)")
_COST: Final = re.compile(r"(?P<value>[\d .,]+)\s*(?P<currency>\S.{0,10})?")
_ENTRY: Final[TypeAdapter[TimelineEntry]] = TypeAdapter(TimelineEntry)


def line_texts(kind: LineKind, line: Record | None) -> dict[str, str]:
    """Returns every field of a line as it would be typed; blank texts for a new line."""
    return {name: _text(name, getattr(line, name)) if line is not None else "" for name in LINE_FIELDS[kind]}


def _text(name: str, value: Any) -> str:
    if value is None:
        return ""
    if name == "readings":
        return readings_text(value)
    if name == "conditions":
        return "\n".join(_condition_line(condition) for condition in value)
    if name == "at":
        return moment_text(value)
    if name == "cost":
        return f"{value.value:.12g} {value.currency}"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.12g}"
    return "\n".join(value) if isinstance(value, tuple) else str(value)


def _condition_line(condition: ConditionMet) -> str:
    mark = {True: "x", False: " ", None: "?"}[condition.met]
    return f"[{mark}] {condition.text or condition.id}"


def line_from_texts(
    kind: LineKind, line_id: str, texts: Mapping[str, str], base: Record | None, currency: str = "EUR"
) -> Checked[Any]:
    """Returns the line these texts make, over the line they started from, or every fault with the field's name."""
    before = line_texts(kind, base)
    document: dict[str, Any] = base.plain() if base is not None else {}
    document["id"] = line_id
    if kind != "retest":
        document["kind"] = kind
    for name, text in texts.items():
        if base is None or text != before.get(name):
            _put(document, name, _value(name, text, base, currency))
    try:
        made: Any = Retest.model_validate(document) if kind == "retest" else _ENTRY.validate_python(document)
    except ValidationError as error:
        return Checked(faults=tuple(_bare(fault, kind) for fault in faults_of(error)))
    return Checked(made)


def _bare(fault: Fault, kind: str) -> Fault:
    path = fault.path.removeprefix(f"{kind}.")
    return Fault(path or fault.path, fault.code, fault.found, fault.expected)


def _put(document: dict[str, Any], name: str, value: Any) -> None:
    if value in ("", [], None):
        document.pop(name, None)
    else:
        document[name] = value


def _value(name: str, text: str, base: Record | None, currency: str) -> Any:
    if name in _LONG:
        return clean_text(text)
    if name == "readings":
        return [reading.plain() for reading in readings_from_text(text)]
    if name == "conditions":
        return [condition.plain() for condition in _conditions(text, getattr(base, "conditions", ()))]
    if name in _LISTS:
        return [line for line in (clean_text(line, lines=False) for line in text.split("\n")) if line]
    text = clean_text(text, lines=False)
    if name in _NUMBERS:
        return _number(text)
    if name == "cost":
        return _cost(text, currency)
    if name == "at":
        return moment_from_text(text)
    if name == "same_conditions":
        return {"yes": True, "no": False}.get(text)
    return text


def _number(text: str) -> Any:
    number = read_number(text)
    return text if number is None and text else number


def _cost(text: str, currency: str) -> Any:
    match = _COST.fullmatch(text)
    number = read_number(match["value"].replace(" ", ""), thousands=True) if match else None
    if match is None or number is None:
        return text
    return {"value": number, "currency": (match["currency"] or currency).strip()}


def _conditions(text: str, before: tuple[ConditionMet, ...]) -> list[ConditionMet]:
    known = {condition.text or condition.id: condition for condition in before}
    found = []
    for line in clean_text(text).split("\n"):
        match = _CONDITION.fullmatch(line.strip())
        words = match["text"].strip() if match else line.strip()
        if not words:
            continue
        met = {"x": True, "X": True, " ": False, "?": None}[match["met"]] if match else True
        old = known.get(words)
        found.append(
            old.model_copy(update={"met": met})
            if old
            else ConditionMet(id=words[:120], met=met, text=words[:500] if len(words) > 120 else "")
        )
    return found
