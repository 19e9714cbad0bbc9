"""What conditions and facets are called on the screen."""

from typing import Final

from kbapp.desktop.look_first.conditions import Condition, Kind
from kbapp.i18n import N_, _
from kbapp.wording.case_words import plain_words
from kbapp.wording.terms import term

_KINDS: Final[dict[Kind, str]] = {
    "system": N_("System"), "symptom": N_("Symptom"), "make": N_("Make"), "family": N_("Family"),
    "generation": N_("Generation"), "engine": N_("Engine"), "code": N_("Code"), "part": N_("Part tried"),
    "test": N_("Test and outcome"), "case": N_("From case"),
}  # fmt: skip


def kind_label(kind: Kind) -> str:
    """Returns the name of a kind of condition."""
    return _(_KINDS[kind])


def chip_words(condition: Condition) -> tuple[str, str]:
    """Returns the label and the value of a condition's chip."""
    if condition.kind == "test":
        return plain_words(condition.value), plain_words(condition.outcome).lower()
    if condition.kind == "part":
        return _("Tried"), condition.value
    value = term("system", condition.value) if condition.kind == "system" else condition.value
    return kind_label(condition.kind), value


def facet_label(field: str) -> str:
    """Returns the name of a facet."""
    return term("facet", field)


def facet_value_label(field: str, value: str) -> str:
    """Returns what a value of a facet is called: fixed terms in words, everything else as it was recorded."""
    if field == "system":
        return term("system", value)
    if field == "state":
        return term("state", value)
    return plain_words(value) if field in ("cause_section", "symptom") else value
