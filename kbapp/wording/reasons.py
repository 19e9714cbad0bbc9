"""Labels for why a case matched, and for what one can narrow by."""

from typing import Final

from kbapp.i18n import N_, _
from kbapp.lookup.question import Reason

REASONS: Final[dict[str, str]] = {
    "words": N_("Same words"),
    "trade_words": N_("Another trade name"),
    "saying": N_("What this saying can mean"),
    "spelling": N_("Near spelling"),
    "number": N_("Case number"),
    "plain_text": N_("Holds every word"),
    "system": N_("Same system"),
    "symptom": N_("Same or kin concern"),
    "code": N_("Same or related trouble code"),
    "vehicle": N_("Kin vehicle"),
    "part_tried": N_("The same part changed nothing there either"),
    "tried_was_cause": N_("There the part you tried was the cause"),
    "evidence": N_("A test came out the same"),
    "evidence_against": N_("A test came out differently"),
    "evidence_words": N_("Tells of the same test"),
    "proof": N_("Proved repair"),
    "came_back": N_("The vehicle came back"),
    "withdrawn": N_("The case was withdrawn"),
}

_KIN: Final[dict[str, str]] = {
    "generation": N_("same generation: {name}"),
    "family": N_("same family: {name}"),
    "platform": N_("sibling on platform {name}"),
    "engine": N_("same engine: {name}"),
    "make": N_("same make: {name}"),
}

_STATES: Final[dict[str, str]] = {"proved": N_("proved"), "repaired": N_("repaired, not yet proved")}

FACET_LABELS: Final[dict[str, str]] = {
    "system": N_("System"),
    "state": N_("State"),
    "symptom": N_("Symptom"),
    "make": N_("Make"),
    "family": N_("Family"),
    "generation": N_("Generation"),
    "engine": N_("Engine"),
    "code": N_("Trouble code"),
    "cause_section": N_("Section at fault"),
}


def reason_label(name: str) -> str:
    """Returns what a reason says, for a screen; an unknown name stands for itself."""
    return _(REASONS[name]) if name in REASONS else name


def reason_detail(reason: Reason) -> str:
    """Returns what matched, worded: for a vehicle what is shared, for a proof the state, else the words themselves."""
    if reason.name == "vehicle":
        kind, _colon, name = reason.detail.partition(": ")
        return _(_KIN[kind]).format(name=name) if kind in _KIN else name
    if reason.name == "proof" and reason.detail in _STATES:
        return _(_STATES[reason.detail])
    return reason.detail


def facet_label(name: str) -> str:
    """Returns the heading of a facet; an unknown name stands for itself."""
    return _(FACET_LABELS[name]) if name in FACET_LABELS else name
