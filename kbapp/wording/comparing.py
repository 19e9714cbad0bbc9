"""What two cases share and where they differ, in words."""

from typing import TYPE_CHECKING, Final

from kbapp.i18n import N_, _
from kbapp.wording.case_words import plain_words
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.comparing import Comparison

_KINDS: Final = {
    "system": N_("System"), "symptom": N_("Symptom"), "make": N_("Make"), "family": N_("Family"),
    "engine": N_("Engine"), "code": N_("Code"), "part": N_("Fitted"), "test": N_("Test"), "section": N_("Section"),
}  # fmt: skip


def same_words(found: "Comparison") -> str:
    """Returns what both cases have."""
    if not found.same:
        return _("These two have nothing recorded in common")
    said = "; ".join(f"{_(_KINDS[kind])} {_value(kind, value)}" for kind, value in found.same)
    return _("In both: {what}").format(what=said)


def differ_words(found: "Comparison") -> str:
    """Returns the tests that came out differently, blank where none did."""
    if not found.other_outcome:
        return ""
    said = "; ".join(
        _("{test}: {left} here, {right} there").format(
            test=plain_words(test), left=plain_words(left).lower(), right=plain_words(right).lower()
        )
        for test, left, right in found.other_outcome
    )
    return _("Other outcome: {what}").format(what=said)


def _value(kind: str, value: str) -> str:
    if kind == "system":
        return term("system", value)
    if kind == "test":
        name, _sep, outcome = value.partition("=")
        return f"{plain_words(name)} ({plain_words(outcome).lower()})"
    return value if kind in ("make", "family", "engine", "code") else plain_words(value)
