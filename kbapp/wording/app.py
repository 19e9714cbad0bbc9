"""Sentences for the codes of kbapp.app and kbapp.commands."""

from typing import Final

from kbapp.i18n import N_

SENTENCES: Final[dict[str, str]] = {
    "jot_without_concern": N_("The first line is blank: write what the vehicle does. The other lines may stay empty."),
    "jot_line_too_long": N_("The line “{line}” has {found} characters, at most {limit} fit. Put the rest in the notes of the case."),
    "triage_without_concern": N_("The concern is blank: write what the vehicle does. Everything else may stay empty."),
    "notes_too_many": N_("The text holds {found} notes, at most {limit} are taken at once. Paste a part of it."),
    "note_without_concern": N_("{path}: its first line, the concern, is blank. Write what the vehicle did, or leave the note out."),
    "note_too_long": N_("{path}: the line “{found}” is longer than {expected} characters. Break it up, or leave the note out."),
    "file_not_read": N_("{path} cannot be read ({why}). Check the name and your rights, then try again."),
    "case_id_twice": N_("{path}: the case id {found} stands twice in these files. Leave one of them out."),
    "settings_not_written": N_("The settings cannot be kept in {path} ({why}). They hold until you close the program."),
    "amount_wrong": N_("“{text}” is no amount. Type a number from 0 to {most}, such as 120 or 89.50."),
    "currency_wrong": N_("“{text}” is no currency. Type its code or sign, such as EUR."),
    "initials_wrong": N_("That is too long. Type two or three initials, such as IK; at most {most} characters fit."),
    "shop_name_wrong": N_("That is too long. Type the name of the shop in at most {most} characters."),
    "table_not_csv": N_("{path} is no table of text. Save the sheet as CSV and try again."),
    "table_damaged": N_("{path} cannot be read as a table ({why}). Save the sheet as CSV again."),
    "import_unknown_field": N_("There is no field {field} to feed. The fields are: {fields}."),
    "import_unknown_column": N_("The table has no column {column}. Its columns are: {columns}."),
    "import_without_concern": N_("No column gives the concern. Name one with --columns concern=COLUMN; the columns are: {columns}."),
    "attachment_missing": N_("The file for {name} is not at {path}. Put it there, named by its SHA-256, or leave --files out."),
    "attachment_differs": N_("The file for {name} at {path} is not the one the case names: its SHA-256 differs."),
    "practice_cases_missing": N_("The practice cases are missing from this installation. Install Provebook again."),
    "case_without_map": N_("No section map fits the concern of {case}. Name a symptom of the vocabulary in the case, or give a map with --map FILE."),
    "line_unknown": N_("The case has no line {line}. Look at it again: someone may have taken the line out."),
    "nothing_to_undo": N_("There is nothing to undo in this case."),
    "nothing_to_redo": N_("There is nothing to do again in this case."),
    "still_on_vehicle": N_("Not repaired yet, still on the vehicle: {what}. Take it off, say so under Still on the vehicle, then say it is repaired."),
    "undo_clash": N_("That step cannot be taken back: someone changed the same field since ({fields}). Correct it by hand."),
    "option_not_a_pair": N_("{option} takes two sides with = between them; found: {text}."),
    "narrow_unknown_field": N_("There is nothing called {field} to narrow by. Use one of: {fields}."),
    "limit_too_small": N_("--limit is {limit}; it must be 1 or more."),
    "look_without_question": N_("Say what to look for: words, or an option such as --family or --code."),
    "day_wrong": N_("{option} takes a year, month or day (2026, 2026-03 or 2026-03-01); found: {text}."),
    "case_still_open": N_("The case {case} is still open: only closed cases can be retraced. Use the advice while you work on it."),
    "case_teaches_nothing": N_("The case {case} cannot be played: it is not proved, or records no test to choose. Take another one."),
}  # fmt: skip
