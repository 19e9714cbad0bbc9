"""What free words of a case could become: symptoms, codes, parts with their effect, readings, the vehicle.

Nothing is changed by finding a suggestion; ``accept`` returns the case with one of them taken over. The words it was
read from stay where they are, except a VIN, which has no place in a case.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final, Literal

from kbapp.app.concern_terms import terms_in
from kbapp.app.jot import KnownVehicles, odometer_in, year_in
from kbapp.app.part_names import PartNames
from kbapp.records.case import Case, CodeRecord, Concern, Correction, CorrectionPart, Vehicle
from kbapp.records.code_search import find_codes
from kbapp.records.quantity_text import find_quantities
from kbapp.records.symptoms import symptom
from kbapp.records.timeline import Effect, PartEntry, Reading, TestEntry, TimelineEntry
from kbapp.records.units import unit
from kbapp.records.vin import find_vins

Kind = Literal["symptom", "code", "vehicle", "part", "correction_part", "reading", "vin"]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One thing to take over. ``words`` is the passage it was read from, ``source`` the line or field that holds it.

    ``field`` names the field of a vehicle; ``position``, ``effect`` and ``readings`` belong to parts and readings.
    """

    kind: Kind
    value: str
    words: str
    source: str
    field: str = ""
    position: str = ""
    effect: Effect | None = None
    status: str = ""
    module: str = ""
    readings: tuple[Reading, ...] = ()

    @property
    def key(self) -> tuple[str, ...]:
        """What makes two suggestions the same one."""
        return (self.kind, self.field, self.value.casefold(), self.position, self.module)


@dataclass(frozen=True, slots=True)
class Known:
    """Names that can be recognised."""

    vehicles: KnownVehicles
    parts: PartNames


_FITTED: Final = re.compile(r"\b(?:fitted|replaced|renewed|changed|swapped|new|put in|installed)\b", re.IGNORECASE)
_EFFECTS: Final[tuple[tuple[Effect, re.Pattern[str]], ...]] = (
    ("unchanged", re.compile(r"\b(?:no (?:change|difference|better|effect|help|improvement)|unchanged|in vain"
                             r"|(?:still )?the same|changed nothing|did (?:not|nothing) ?(?:help)?"
                             r"|without effect)\b", re.IGNORECASE)),
    ("worse", re.compile(r"\bworse\b", re.IGNORECASE)),
    ("gone", re.compile(r"\b(?:gone|cured|fixed it|solved|went away)\b", re.IGNORECASE)),
    ("better", re.compile(r"\b(?:better|improved|helped)\b", re.IGNORECASE)),
)  # fmt: skip
_POSITIONS: Final = (
    ("LF", r"LF|FL|left[ -]front|front[ -]left"), ("RF", r"RF|FR|right[ -]front|front[ -]right"),
    ("LR", r"LR|RL|left[ -]rear|rear[ -]left"), ("RR", r"RR|right[ -]rear|rear[ -]right"),
    ("front", r"front"), ("rear", r"rear"), ("left", r"left"), ("right", r"right"),
)  # fmt: skip
_CLAUSES: Final = re.compile(r"[^.;\n]+(?:\.(?=\d)[^.;\n]+)*")
_NOT_READ: Final = frozenset({"length", "mass", "time", "volume", "ratio"})
_SMALL: Final = (
    "at|is|was|are|were|of|reads?|with|to|about|only|from|after|before|it|up|down|by|drops?|rises?|falls?|goes|on|in"
)
_JOINING: Final = re.compile(rf"^(?:and|then|{_SMALL})\b\s*|\s*\b(?:{_SMALL})$", re.IGNORECASE)


def suggest(case: Case, known: Known) -> tuple[Suggestion, ...]:
    """Returns what the words of a case could become and are not yet, each once, in the order of the form."""
    found = (
        *_vins(case),
        *_vehicle(case, known.vehicles),
        *_symptoms(case),
        *_codes(case),
        *_parts(case, known.parts),
        *_readings(case),
    )
    return tuple({suggestion.key: suggestion for suggestion in reversed(found)}.values())[::-1]


def _texts(case: Case) -> Iterator[tuple[str, str]]:
    """Yields every running text of a case by the name of its field or line."""
    yield "concern", case.concern.text
    for entry in case.timeline:
        yield entry.id, entry.text
    if case.cause:
        yield "cause", case.cause.text
    if case.correction:
        yield "correction", case.correction.text
    yield "lesson", case.lesson
    yield "notes", case.notes


def _clauses(text: str) -> Iterator[str]:
    for match in _CLAUSES.finditer(text):
        if match[0].strip():
            yield match[0].strip()


def _vins(case: Case) -> Iterator[Suggestion]:
    for source, text in _texts(case):
        for found in find_vins(text):
            yield Suggestion("vin", found.vin.text, text[found.start : found.end], source)


def _vehicle(case: Case, known: KnownVehicles) -> Iterator[Suggestion]:
    have = case.vehicle or Vehicle()
    sources = [("vehicle", have.family), *(item for item in _texts(case) if item[0] not in ("lesson", "notes"))]
    for source, text in sources:
        for clause in _clauses(text):
            named, _rest = known.take(clause)
            for field, name in sorted(named.items(), key=lambda item: item[0] == "family"):
                if name.casefold() != str(getattr(have, field)).casefold() and (
                    source == "vehicle" or not getattr(have, field)
                ):
                    yield Suggestion("vehicle", name, clause, source, field)
            year, odometer = year_in(clause), odometer_in(clause)
            if year and have.model_year is None and (named or source == "vehicle"):
                yield Suggestion("vehicle", str(year), clause, source, "model_year")
            if odometer and have.odometer is None:
                yield Suggestion("vehicle", f"{odometer.value:.0f} {odometer.unit}", clause, source, "odometer")


def _symptoms(case: Case) -> Iterator[Suggestion]:
    have = {term.casefold() for term in case.concern.symptoms}
    for term in terms_in(case.concern.text):
        if term.casefold() not in have:
            yield Suggestion("symptom", term, case.concern.text, "concern")


def _codes(case: Case) -> Iterator[Suggestion]:
    have = {code.code.casefold() for code in case.codes}
    for source, text in _texts(case):
        for found in find_codes(text):
            if found.code.text.casefold() not in have:
                words = text[max(0, found.start - 30) : found.end + 30]
                yield Suggestion("code", found.code.text, words, source, status=found.status, module=found.module)


def _parts(case: Case, names: PartNames) -> Iterator[Suggestion]:
    have = {entry.part.casefold() for entry in case.timeline if isinstance(entry, PartEntry)}
    corrected = {part.part.casefold() for part in case.correction.parts} if case.correction else set()
    for source, text in _texts(case):
        if source in ("cause", "lesson", "notes"):
            continue
        line = next((entry for entry in case.timeline if entry.id == source), None)
        for clause in _clauses(text):
            for name, start, _end in names.find(clause):
                if source == "correction":
                    if name.casefold() not in corrected:
                        yield Suggestion("correction_part", name, clause, source, position=_position(clause, start))
                elif name.casefold() not in have and _was_fitted(clause, line):
                    yield Suggestion(
                        "part", name, clause, source, position=_position(clause, start), effect=_effect(clause)
                    )


def _was_fitted(clause: str, line: TimelineEntry | None) -> bool:
    if line is not None and line.kind in ("part", "test"):
        return False
    told_tried = line is not None and line.kind == "note" and line.source == "reported"
    return told_tried or bool(_FITTED.search(clause)) or _effect(clause) is not None


def _effect(clause: str) -> Effect | None:
    return next((effect for effect, pattern in _EFFECTS if pattern.search(clause)), None)


def _position(clause: str, at: int) -> str:
    before = clause[max(0, at - 24) : at]
    for position, words in _POSITIONS:
        if re.search(rf"\b(?:{words})\W*$", before, re.IGNORECASE):
            return position
    return ""


def _readings(case: Case) -> Iterator[Suggestion]:
    for source, text in _texts(case):
        line = next((entry for entry in case.timeline if entry.id == source), None)
        if (line is not None and line.kind in ("part", "test")) or source in ("lesson", "notes", "cause", "correction"):
            continue
        for clause in _clauses(text):
            readings = _readings_in(clause)
            if any(reading.where for reading in readings) and not _has_readings(case, readings):
                yield Suggestion("reading", _test_name(clause, readings), clause, source, readings=readings)


def _readings_in(clause: str) -> tuple[Reading, ...]:
    found, begun = [], 0
    for item in find_quantities(clause):
        if unit(item.quantity.unit).dimension in _NOT_READ or odometer_in(clause[item.start : item.end]):
            continue
        where = _place(clause[begun : item.start])
        found.append(Reading(where=where, value=item.quantity.value, unit=item.quantity.unit))
        begun = item.end
    return tuple(found)


def _place(words: str) -> str:
    words = re.split(r"[,:=]", words.strip(" ,:=-–"))[-1].strip()
    before = ""
    while words != before:
        before, words = words, _JOINING.sub("", words).strip()
    return " ".join(words.split()[-4:])


def _test_name(clause: str, readings: tuple[Reading, ...]) -> str:
    first = find_quantities(clause)[0].start
    head = re.split(r"[,:]", clause[:first])[0].strip() if re.search(r"[,:]", clause[:first]) else ""
    return (head or next(filter(None, (reading.where for reading in readings)), clause))[:120]


def _has_readings(case: Case, readings: tuple[Reading, ...]) -> bool:
    wanted = {(reading.value, reading.unit) for reading in readings}
    return any(
        wanted <= {(reading.value, reading.unit) for reading in entry.readings}
        for entry in case.timeline
        if isinstance(entry, TestEntry)
    )


# -- taking over


def accept(case: Case, suggestion: Suggestion, line_id: str, author: str = "") -> Case:
    """Returns the case with a suggestion taken over; ``line_id`` is for the line a part or a reading becomes."""
    if suggestion.kind == "symptom":
        return _with_symptom(case, suggestion.value)
    if suggestion.kind == "code":
        code = CodeRecord(code=suggestion.value, status=suggestion.status, module=suggestion.module)
        return case.model_copy(update={"codes": (*case.codes, code)})
    if suggestion.kind == "vehicle":
        return _with_vehicle(case, suggestion)
    if suggestion.kind == "correction_part":
        correction = case.correction or Correction()
        part = CorrectionPart(part=suggestion.value, position=suggestion.position)
        return case.model_copy(
            update={"correction": correction.model_copy(update={"parts": (*correction.parts, part)})}
        )
    if suggestion.kind == "vin":
        return without_words(case, suggestion.words)
    return case.model_copy(
        update={"timeline": _with_line(case, _line(case, suggestion, line_id, author), suggestion.source)}
    )


def _with_symptom(case: Case, term: str) -> Case:
    known = symptom(term)
    changes: dict[str, Any] = {"symptoms": (*case.concern.symptoms, term)}
    if case.concern.system is None and known is not None:
        changes["system"] = known.system
    return case.model_copy(update={"concern": case.concern.model_copy(update=changes)})


def _with_vehicle(case: Case, suggestion: Suggestion) -> Case:
    vehicle = case.vehicle or Vehicle()
    value: object = suggestion.value
    if suggestion.field == "model_year":
        value = int(suggestion.value)
    elif suggestion.field == "odometer":
        value = odometer_in(suggestion.value)
    changes = {suggestion.field: value}
    if suggestion.source == "vehicle" and suggestion.field == "family":
        return _with_family(case, vehicle, suggestion.value)
    if suggestion.source == "vehicle":
        rest = re.sub(rf"(?<!\w){re.escape(suggestion.value)}(?!\w)", " ", vehicle.family, flags=re.IGNORECASE)
        changes["family"] = " ".join(rest.split()).strip(" ,;")
    return case.model_copy(update={"vehicle": vehicle.model_copy(update=changes)})


def _with_family(case: Case, vehicle: Vehicle, name: str) -> Case:
    """Puts the family in place of the free words it stood in; words that say more are kept in the notes."""
    rest = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", " ", vehicle.family, flags=re.IGNORECASE).split()
    changes: dict[str, Any] = {"vehicle": vehicle.model_copy(update={"family": name})}
    if rest:
        changes["notes"] = "\n\n".join(filter(None, (case.notes, vehicle.family)))
    return case.model_copy(update=changes)


def _line(case: Case, suggestion: Suggestion, line_id: str, author: str) -> TimelineEntry:
    told = next((entry for entry in case.timeline if entry.id == suggestion.source), None)
    reported = told is None or told.source == "reported"
    at, by = (told.at, told.by) if told else (case.opened, author)
    if suggestion.kind == "part":
        return PartEntry(
            id=line_id, kind="part", part=suggestion.value, position=suggestion.position, effect=suggestion.effect,
            source="reported" if reported else "own", at=at, by=by,
        )  # fmt: skip
    return TestEntry(
        id=line_id, kind="test", test=suggestion.value, readings=suggestion.readings, text=suggestion.words,
        source="reported" if reported else "own", at=at, by=by,
    )  # fmt: skip


def _with_line(case: Case, line: TimelineEntry, source: str) -> tuple[TimelineEntry, ...]:
    """Puts a line behind the one it was read from (and behind lines read from it before), else first of all."""
    lines = list(case.timeline)
    place = next((n + 1 for n, entry in enumerate(lines) if entry.id == source), 0)
    while place < len(lines) and lines[place].at == line.at and lines[place].kind == line.kind:
        place += 1
    lines.insert(place, line)
    return tuple(lines)


def without_words(case: Case, words: str) -> Case:
    """Returns the case without some words in any of its texts."""

    def cut(text: str) -> str:
        return re.sub(rf"[ \t]*{re.escape(words)}", "", text).strip() if words in text else text

    concern = cut(case.concern.text) or case.concern.text.replace(words, "…")
    update: dict[str, Any] = {
        "concern": Concern.model_validate({**case.concern.plain(), "text": concern}),
        "timeline": tuple(entry.model_copy(update={"text": cut(entry.text)}) for entry in case.timeline),
        "lesson": cut(case.lesson),
        "notes": cut(case.notes),
    }
    if case.cause:
        update["cause"] = case.cause.model_copy(update={"text": cut(case.cause.text) or "…"})
    if case.correction:
        update["correction"] = case.correction.model_copy(update={"text": cut(case.correction.text)})
    return case.model_copy(update=update)
