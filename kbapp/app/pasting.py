"""Brings old notes in from pasted text: blank lines part the notes, each becomes a case as if it had been jotted."""

import re
from dataclasses import dataclass
from typing import Final

from kbapp.app.jot import Jot, KnownVehicles, case_from_jot
from kbapp.errors import InputError
from kbapp.records.base import clean_text
from kbapp.records.case import Case, Shop
from kbapp.records.fault import DocumentFaults, Fault

MOST_NOTES: Final = 5_000
_BLANK: Final = re.compile(r"\n[ \t]*\n")
_LABELS: Final = {
    "concern": "concern", "complaint": "concern", "problem": "concern", "vehicle": "vehicle", "car": "vehicle",
    "tried": "tried", "done": "tried", "parts": "tried", "test": "split", "split": "split", "finding": "split",
    "diagnosis": "split", "fix": "fixed", "fixed": "fixed", "repair": "fixed", "correction": "fixed", "cause": "fixed",
}  # fmt: skip
_LABELLED: Final = re.compile(r"(?P<label>[A-Za-z]+)\s*[:=]\s*(?P<text>.+)")


@dataclass(frozen=True, slots=True)
class NotesPlan:
    """What pasted notes would become, and what keeps some of them out (path ``note 3``)."""

    notes: tuple[Jot, ...]
    cases: tuple[Case, ...]
    faults: tuple[Fault, ...] = ()


def notes_in(text: str) -> tuple[Jot, ...]:
    """Returns the notes of a text. Lines may begin with what they are ("Vehicle: …"); without that they are the
    concern, the vehicle, what was tried, what split it and what fixed it, in this order."""
    return tuple(_jot(block) for block in _BLANK.split(clean_text(text)) if block.strip())


def _jot(block: str) -> Jot:
    labelled: dict[str, list[str]] = {}
    for line in block.strip().split("\n"):
        match = _LABELLED.fullmatch(line.strip())
        field = _LABELS.get(match["label"].lower()) if match else None
        if match is None or field is None:
            return Jot.from_text(block) if not labelled else _continued(labelled, block)
        labelled.setdefault(field, []).append(match["text"].strip())
    return _made(labelled)


def _continued(labelled: dict[str, list[str]], block: str) -> Jot:
    """Reads a note whose lines go on without a label: they belong to the line before."""
    labelled, field = {}, "concern"
    for line in block.strip().split("\n"):
        match = _LABELLED.fullmatch(line.strip())
        known = _LABELS.get(match["label"].lower()) if match else None
        field = known or field
        labelled.setdefault(field, []).append(match["text"].strip() if match and known else line.strip())
    return _made(labelled)


def _made(labelled: dict[str, list[str]]) -> Jot:
    fields = {name: "\n".join(lines) for name, lines in labelled.items()}
    return Jot(
        concern=fields.get("concern", ""), vehicle=" ".join(fields.get("vehicle", "").split()),
        tried=fields.get("tried", ""), split=fields.get("split", ""), fixed=fields.get("fixed", ""),
    )  # fmt: skip


def plan_notes(text: str, shop: Shop, author: str, known: KnownVehicles) -> NotesPlan:
    """Returns what pasted notes would become; nothing is written.

    Raises:
        InputError: ``notes_too_many``.
    """
    notes = notes_in(text)
    if len(notes) > MOST_NOTES:
        raise InputError("notes_too_many", found=len(notes), limit=MOST_NOTES)
    cases: list[Case] = []
    faults: list[Fault] = []
    for n, note in enumerate(notes, 1):
        try:
            cases.append(case_from_jot(note, shop, author, known))
        except DocumentFaults as error:
            faults += [
                Fault(f"note {n}: {fault.path}", fault.code, fault.found, fault.expected) for fault in error.faults
            ]
        except InputError as error:
            code = "note_without_concern" if error.code == "jot_without_concern" else "note_too_long"
            faults.append(
                Fault(f"note {n}", code, str(error.values.get("line", "")), str(error.values.get("limit", "")))
            )
    return NotesPlan(notes, tuple(cases), tuple(faults))
