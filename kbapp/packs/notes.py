"""Says what a reader should know of a case before taking it: bad news about it, and text that is more than text."""

import re
from collections.abc import Iterator
from typing import Final

from kbapp.packs.plan import Note
from kbapp.records.case import Case

# HTML tags, scripts, and links or pictures that lead out of the program. They are shown as plain text, never followed.
_MARKUP: Final = re.compile(
    r"<[A-Za-z!/][^>]*>|\b(?:javascript|data|vbscript|file):|!?\[[^\]]*\]\([^)]+\)|https?://", re.IGNORECASE
)


def notes_of(case: Case) -> tuple[Note, ...]:
    """Returns the notes of a case."""
    return tuple(_notes(case))


def _notes(case: Case) -> Iterator[Note]:
    if case.state == "came_back":
        yield "came_back"
    if case.state == "withdrawn":
        yield "withdrawn"
    texts = (case.concern.text, case.notes, case.lesson, *(entry.text for entry in case.timeline))
    if any(_MARKUP.search(text) for text in texts):
        yield "markup"
