"""The fields of a case, of its lines and its retests as forms call them; places in a case named for a person."""

from collections.abc import Mapping
from typing import Any, Final

from kbapp.i18n import N_, _
from kbapp.records.case import Case
from kbapp.wording.case_words import entry_title, plain_words, retest_title

CASE_FIELDS: Final[Mapping[str, str]] = {
    "number": N_("Number"), "opened": N_("Opened"), "state": N_("State"), "withdrawn_reason": N_("Why withdrawn"),
    "concern": N_("Concern"), "concern.text": N_("Concern"), "concern.system": N_("System"),
    "concern.symptoms": N_("Symptoms"), "concern.conditions": N_("When it does it"),
    "concern.began": N_("Began after what"), "concern.since": N_("Since (date or month)"),
    "concern.last_good": N_("Last good"), "vehicle": N_("Vehicle"), "vehicle.make": N_("Make"),
    "vehicle.family": N_("Family"), "vehicle.platform": N_("Platform"), "vehicle.generation": N_("Generation"),
    "vehicle.model_year": N_("Model year"), "vehicle.engine": N_("Engine"),
    "vehicle.transmission": N_("Transmission"), "vehicle.odometer": N_("Distance driven"), "codes": N_("Trouble codes"),
    "timeline": N_("Order of the lines"), "cause": N_("Cause"), "cause.text": N_("Cause"),
    "cause.section": N_("Section"), "cause.part": N_("Part"), "cause.position": N_("Position"),
    "cause.separated": N_("Is the cause separated?"), "correction": N_("Correction"),
    "correction.text": N_("What was done"), "correction.parts": N_("Parts (part, position, number)"),
    "correction.services": N_("Services"), "retest": N_("Order of the retests"), "lesson": N_("Lesson"),
    "notes": N_("Notes"), "links": N_("Other cases"), "sign_off": N_("Signature"), "map": N_("Map"),
    "follow_ups": N_("Looking back"), "attachments": N_("Files"), "vehicle_ref": N_("Label of the vehicle"),
}  # fmt: skip
LINE_FIELD_WORDS: Final[Mapping[str, str]] = {
    "part": N_("Part"), "position": N_("Position"), "stage": N_("Planned, fitted, removed"), "effect": N_("What it changed"),
    "purpose": N_("What for"), "section": N_("Section"), "found": N_("Found on the removed part"), "cost": N_("Cost"),
    "labour_minutes": N_("Minutes of work"), "reason": N_("Why"), "at": N_("When"), "by": N_("Who"),
    "source": N_("Own or reported"), "text": N_("Remarks"), "test": N_("Test"), "outcome": N_("Outcome"),
    "status": N_("How it went"), "why": N_("Why unable or unclear"), "readings": N_("Readings"),
    "isolates": N_("What it splits"), "strength": N_("Strength"), "substitute": N_("Substitute used"),
    "conditions": N_("Conditions"), "kit": N_("Tools"), "repeat_of": N_("Repeats line"), "supersedes": N_("Takes the place of line"),
    "minutes": N_("Minutes"), "sections": N_("Sections"), "repeats": N_("Repeats line"), "result": N_("Result"),
    "same_conditions": N_("Same conditions as before?"), "kind": N_("Kind"),
}  # fmt: skip


def field_words(path: str, case: Case | None = None) -> str:
    """Returns a field of a case in words; a field of a line is told with the line."""
    if path in CASE_FIELDS:
        return _(CASE_FIELDS[path])
    top, _dot, rest = path.partition(".")
    if top in ("timeline", "retest") and rest:
        return _line_field(case, top, rest)
    name = plain_words(path.rsplit(".", 1)[-1])
    return _("{whole}: {field}").format(whole=_(CASE_FIELDS[top]), field=name) if top in CASE_FIELDS else name


def _line_field(case: Case | None, top: str, rest: str) -> str:
    names = _line_names(case, top)
    line_id, _dot, field = rest.partition(".")
    line = names.get(line_id, _("Line {id}").format(id=line_id))
    if not field:
        return line
    words = _(LINE_FIELD_WORDS[field]) if field in LINE_FIELD_WORDS else plain_words(field)
    return _("{line}: {field}").format(line=line, field=words)


def _line_names(case: Case | None, top: str) -> dict[str, str]:
    if case is None:
        return {}
    if top == "retest":
        return {retest.id: retest_title(case, retest) for retest in case.retest}
    words = _("Line {n}, {title}")
    return {e.id: words.format(n=n, title=entry_title(e)[:60]) for n, e in enumerate(case.timeline, 1)}


def value_words(value: Any) -> str:
    """Returns a plain value of a document as text to compare, lists a line each; blank where it is absent."""
    if value is None:
        return _("(nothing)")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, dict):
        told = {name: value_words(inner) for name, inner in value.items() if name != "id"}
        return "\n".join(words if name == "text" else f"{_key(name)}: {words}" for name, words in told.items())
    if isinstance(value, list):
        return "\n".join(value_words(inner) for inner in value)
    return str(value)


def _key(name: str) -> str:
    return _(LINE_FIELD_WORDS[name]) if name in LINE_FIELD_WORDS else plain_words(name)
