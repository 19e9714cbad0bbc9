"""The controls for a line of the timeline or a retest, by its kind."""

from PySide6.QtCore import QObject

from kbapp.app.line_text import LINE_FIELDS, LineKind
from kbapp.desktop.case_form.fields import Fields
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.i18n import N_, _
from kbapp.records.case import Case
from kbapp.records.timeline import TestEntry
from kbapp.records.vocabulary import POSITIONS
from kbapp.wording.case_words import plain_words
from kbapp.wording.form_words import LINE_FIELD_WORDS
from kbapp.wording.terms import TermKind, terms

_TEXTS = ("text", "found", "reason", "readings", "conditions", "kit", "sections")
_CHOICES: dict[str, TermKind] = {
    "stage": "stage", "effect": "effect", "purpose": "purpose", "source": "source", "status": "test_status",
    "strength": "strength", "result": "retest_result",
}  # fmt: skip
_MAY_BE_BLANK = ("effect", "strength", "result")
_LINES = ("repeat_of", "supersedes", "repeats")
_EXAMPLES = {
    "readings": N_("inlet: 104; 105 °C, a place a line"), "conditions": N_("[x] met, [ ] not met, one a line"),
    "at": N_("2026-05-31 or 2026-05"), "cost": N_("60 EUR"), "kit": N_("one a line"), "sections": N_("one a line"),
}  # fmt: skip
DEFAULTS = {"stage": "fitted", "purpose": "diagnostic", "source": "own", "status": "done"}
"""What a new line begins with."""


def line_fields(theme: Theme, parent: QObject, kind: LineKind, case: Case) -> tuple[Fields, list[Labelled | RuledEdit]]:
    """Returns the fields of a kind of line, and what shows them, in the order a technician fills them in."""
    fields = Fields(theme, parent)
    shown: list[Labelled | RuledEdit] = []
    for name in LINE_FIELDS[kind]:
        label = _(LINE_FIELD_WORDS[name]) if name != "text" or kind == "part" or kind == "test" else _("What?")
        example = _(_EXAMPLES[name]) if name in _EXAMPLES else ""
        if name in _TEXTS:
            shown.append(fields.text(name, label, example))
        elif name in _CHOICES:
            blank = (("", _("not told")),) if name in _MAY_BE_BLANK else ()
            shown.append(fields.choice(name, label, (*blank, *terms(_CHOICES[name]))))
        elif name in _LINES:
            shown.append(fields.choice(name, label, _tests(case)))
        elif name == "same_conditions":
            answers = (("", _("not told")), ("yes", _("yes")), ("no", _("no")))
            shown.append(fields.choice(name, label, answers))
        else:
            words = POSITIONS if name == "position" else () if name == "part" else None
            shown.append(fields.line(name, label, example, words=words, span=2 if name in ("part", "test") else 1))
    return fields, shown


def _tests(case: Case) -> list[tuple[str, str]]:
    words = _("line {n}: {test}")
    lines = [
        (e.id, words.format(n=n, test=plain_words(e.test)))
        for n, e in enumerate(case.timeline, 1)
        if isinstance(e, TestEntry)
    ]
    return [("", _("none")), *lines]
