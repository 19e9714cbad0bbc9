"""Sentences for the codes of kbapp.records, and for those any layer may use."""

from typing import Final

from kbapp.i18n import N_

SENTENCES: Final[dict[str, str]] = {
    "unworded": N_("Something went wrong ({code}). Please report this code."),
    "cancelled": N_("Stopped, as you asked. Nothing was changed."),
    "document_faults": N_("{source} cannot be taken: {count} to put right."),
    "field_missing": N_("{path}: is missing. {expected}"),
    "field_unknown": N_("{path}: is no field of this format (found {found}). Remove it or correct its name."),
    "value_not_allowed": N_("{path}: found {found}, expected one of {expected}."),
    "value_wrong": N_("{path}: {found} cannot be taken here. {expected}"),
    "wrong_type": N_("{path}: found {found}, expected {expected}."),
    "wrong_form": N_("{path}: {found} does not have the expected form {expected}."),
    "out_of_range": N_("{path}: {found} is out of range, the limit is {expected}."),
    "text_too_long": N_("{path}: has {found} characters, at most {expected} are kept. Attach longer text as a file."),
    "text_too_short": N_("{path}: has {found} characters, at least {expected} are needed."),
    "text_blank": N_("{path}: is blank. Write what was found, or leave the field out."),
    "forbidden_character": N_("{path}: holds the invisible control character {found}. Remove it."),
    "moment_form": N_("{path}: {found} is no date. Write 2026-05, 2026-05-31 or 2026-05-31T10:42:00+02:00."),
    "format_newer": N_("{path}: {found} is newer than this Provebook reads ({expected}). Update Provebook to take it."),
    "format_wrong": N_("{path}: found {found}, expected {expected}."),
    "entry_id_twice": N_("{path}: the line id {found} stands twice. Give each line an id of its own."),
    "entry_unknown": N_("{path}: refers to line {found}, which this case does not have."),
    "link_to_itself": N_("{path}: the case is linked to itself. Name the other case."),
    "json_too_large": N_("{path}: has {found} bytes, at most {expected} are read."),
    "json_not_utf8": N_("{path}: is no UTF-8 text (byte {found}). Save it as UTF-8."),
    "json_too_deep": N_("{path}: is nested deeper than {expected} levels."),
    "json_truncated": N_("{path}: breaks off at {found}. It is incomplete: copy or export it again."),
    "json_syntax": N_("{path}: is no JSON at {found} ({expected})."),
    "json_duplicate_key": N_("{path}: the key {found} stands twice. Remove one of them."),
    "json_not_a_number": N_("{path}: {found} is no number that can be kept."),
    "json_integer_too_large": N_("{path}: the whole number {found} is too large to be kept exactly."),
    "json_number_too_large": N_("{path}: the number {found} is too large."),
    "json_lone_surrogate": N_("{path}: holds half a character (a lone surrogate). Save it again as UTF-8."),
    "json_empty": N_("{path}: holds nothing (null)."),
}
