"""Sentences for the codes of kbapp.records, and for those any layer may use.

Each says where, what was found and what to do. ``{path}``, ``{found}`` and ``{expected}`` are the fields of a fault; a
sentence uses ``{expected}`` only where its code always carries one.
"""

from typing import Final

from kbapp.i18n import N_, _, ngettext

SENTENCES: Final[dict[str, str]] = {
    "unworded": N_("Something went wrong ({code}). Please report this code."),
    "cancelled": N_("Stopped, as you asked. Nothing was changed."),
    "document_faults": N_("{source} cannot be taken: {count} to put right."),
    # Fields of a document.
    "field_missing": N_("{path}: is missing. Add it."),
    "choice_missing": N_("{path}: is missing. Add one of: {expected}."),
    "field_unknown": N_("{path}: is no field of this format (it holds {found}). Remove it or correct its name."),
    "value_not_allowed": N_("{path}: {found} is not allowed here. Choose one of: {expected}."),
    "value_wrong": N_("{path}: {found} cannot be taken here. Correct it or leave the field out."),
    "wrong_type": N_("{path}: {found} stands where {expected} is needed. Correct it."),
    "wrong_form": N_("{path}: {found} is not {expected}. Correct it."),
    "below_limit": N_("{path}: {found} is too small. Give at least {expected}."),
    "above_limit": N_("{path}: {found} is too large. Give at most {expected}."),
    "number_not_kept": N_("{path}: {found} is no number that can be kept. Give one with fewer digits."),
    "text_too_long": N_("{path}: has {found} characters, at most {expected} are kept. Attach longer text as a file."),
    "text_too_short": N_("{path}: has {found} characters. Write at least {expected}."),
    "text_blank": N_("{path}: is blank. Write what belongs here, or leave out a field that may be missing."),
    "forbidden_character": N_("{path}: holds the invisible control character {found}. Remove it."),
    "moment_form": N_("{path}: {found} is no date. Write 2026-05, 2026-05-31 or 2026-05-31T10:42:00+02:00."),
    "format_newer": N_("{path}: {found} is newer than this Provebook reads ({expected}). Update Provebook to take it."),
    "format_wrong": N_("{path}: {found} is no format Provebook reads here. Write {expected}."),
    # What contradicts itself in a case.
    "entry_id_twice": N_("{path}: the line id {found} stands twice. Give each line an id of its own."),
    "entry_unknown": N_("{path}: refers to line {found}, which this case does not have. Name a line it has."),
    "entry_circle": N_("{path}: leads by way of line {found} back to its own line. Name an earlier line."),
    "link_to_itself": N_("{path}: the case is linked to itself. Name the other case."),
    # JSON text. A place is line:column.
    "json_too_large": N_("{path}: has {found} bytes, at most {expected} are read. Split it, or attach files apart."),
    "json_not_utf8": N_("{path}: is no UTF-8 text (byte {found}). Save it as UTF-8."),
    "json_too_deep": N_("{path}: is nested deeper than {expected} levels. Check where its brackets close."),
    "json_truncated": N_("{path}: breaks off at {found} (line:column). It is incomplete: copy or export it again."),
    "json_syntax": N_("{path}: is no JSON at {found} (line:column). Correct that place."),
    "json_duplicate_key": N_("{path}: the key {found} stands twice in one object. Remove one of them."),
    "json_not_a_number": N_("{path}: {found} is no number that can be kept. Leave the field out, or write it as text."),
    "json_integer_too_large": N_("{path}: the whole number {found} is too large to be kept exactly. Write it as text."),
    "json_number_too_large": N_("{path}: the number {found} is too large to be kept. Write it as text."),
    "json_lone_surrogate": N_("{path}: holds half a character (a lone surrogate). Save it again as UTF-8."),
    "json_empty": N_("{path}: holds nothing. Choose the file with the record in it."),
    # Vehicle identification numbers, trouble codes, units.
    "vin_length": N_("{path}: has {found} characters, a VIN has {expected}. Read it again at the vehicle."),
    "vin_character": N_("{path}: no VIN has the character {found}. Read it again at the vehicle."),
    "vin_letter": N_("{path}: no VIN has the letter {found}, it may be {expected}. Read it again at the vehicle."),
    "code_length": N_("A module sends a trouble code in 2 or 3 bytes, not {found}. Give 4 or 6 hexadecimal digits."),
    "code_hex": N_("{found} is not hexadecimal. Give 4 or 6 digits of 0 to 9 and A to F."),
    "unit_unknown": N_("{found} is no unit Provebook knows. Choose one of the list."),
    "unit_mismatch": N_("{found} and {expected} measure different things. Choose a unit of the same kind."),
}  # fmt: skip

# What ``expected`` names in ``wrong_type`` and ``wrong_form``.
_EXPECTED: Final[dict[str, str]] = {
    "text": N_("text in quotes"),
    "number": N_("a number"),
    "whole_number": N_("a whole number"),
    "number_or_text": N_("a number or text"),
    "true_or_false": N_("true or false"),
    "list": N_("a list"),
    "object": N_("an object"),
    "uuid": N_("a UUID like 3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10"),
    "sha256": N_("a SHA-256 of 64 digits 0 to 9 and a to f"),
}


def expected_words(code: str, expected: str) -> str:
    """Returns what a fault's ``expected`` says to a person."""
    return _(_EXPECTED.get(expected, expected)) if code in ("wrong_type", "wrong_form") else expected


def faults_head(count: int, source: str) -> str:
    """Returns the line above the faults of a document; ``source`` may be empty."""
    if source:
        template = ngettext(
            "{source} cannot be taken, {n} thing is to be put right:",
            "{source} cannot be taken, {n} things are to be put right:",
            count,
        )
    else:
        template = ngettext(
            "This cannot be taken, {n} thing is to be put right:",
            "This cannot be taken, {n} things are to be put right:",
            count,
        )
    return template.format(n=count, source=source)
