"""Labels for the fixed vocabularies as the screen shows them. Symptoms and conditions are shown as they stand."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal, get_args

from kbapp.i18n import N_, _

TermKind = Literal[
    "system", "state", "kind", "stage", "purpose", "effect", "source", "test_status", "strength", "retest_result",
    "sign_off_result", "link", "position", "facet", "section_state", "check_digit", "code_origin", "measures",
]  # fmt: skip

_TERMS: Final[Mapping[TermKind, Mapping[str, str]]] = MappingProxyType({
    "system": {
        "brakes_hydraulic": N_("Brakes, hydraulic"),
        "abs_stability": N_("Antilock brakes, stability, automated braking"),
        "steering_suspension": N_("Steering and suspension"),
        "engine_management": N_("Engine management"),
        "starting_charging": N_("Starting and charging"),
        "body_electrical_network": N_("Body electrics and networks"),
        "hvac_cooling": N_("Air conditioning and cooling"),
        "fuel_evap": N_("Fuel supply and vapour"),
        "transmission_driveline": N_("Transmission and driveline"),
        "hybrid_ev": N_("Hybrid and electric drive"),
    },
    "state": {
        "open": N_("Open"),
        "repaired": N_("Repaired"),
        "proved": N_("Proved"),
        "came_back": N_("Came back"),
        "withdrawn": N_("Withdrawn"),
    },
    "kind": {
        "part": N_("Part"),
        "service": N_("Service"),
        "test": N_("Test"),
        "finding": N_("Finding"),
        "note": N_("Note"),
    },
    "stage": {"planned": N_("Planned"), "fitted": N_("Fitted"), "removed": N_("Removed")},
    "purpose": {
        "diagnostic": N_("To find the fault"),
        "maintenance": N_("Maintenance due"),
        "recall": N_("Recall or campaign"),
        "measured": N_("Measured beyond its limit"),
        "set": N_("Replaced as a pair or set"),
        "seal": N_("Single-use seal or bolt"),
        "damage": N_("Collision or visible damage"),
        "request": N_("At the customer's request"),
        "temporary": N_("Known-good part, for a test only"),
    },
    "effect": {
        "unchanged": N_("Unchanged"),
        "better": N_("Better"),
        "worse": N_("Worse"),
        "gone": N_("Gone"),
        "not_checked": N_("Not checked"),
    },
    "source": {"own": N_("Our own"), "reported": N_("Reported by others")},
    "test_status": {"done": N_("Done"), "unclear": N_("Unclear"), "unable": N_("Unable to test")},
    "strength": {"strong": N_("Strong"), "weak": N_("Weak"), "none": N_("No evidence")},
    "retest_result": {"passed": N_("Passed"), "failed": N_("Failed"), "unclear": N_("Unclear")},
    "sign_off_result": {"proved": N_("Proved"), "not_proved": N_("Not proved"), "sent_back": N_("Sent back")},
    "link": {
        "same_as": N_("Same job as"),
        "supersedes": N_("Takes the place of"),
        "came_back_as": N_("Came back as"),
    },
    "position": {
        "LF": N_("left front"),
        "RF": N_("right front"),
        "LR": N_("left rear"),
        "RR": N_("right rear"),
        "front": N_("front"),
        "rear": N_("rear"),
        "left": N_("left"),
        "right": N_("right"),
    },
    "facet": {
        "system": N_("System"),
        "state": N_("State"),
        "symptom": N_("Symptom"),
        "make": N_("Make"),
        "family": N_("Family"),
        "generation": N_("Generation"),
        "engine": N_("Engine"),
        "code": N_("Trouble code"),
        "cause_section": N_("Section of the cause"),
    },
    "section_state": {
        "clear": N_("Clear"),
        "open": N_("Open"),
        "untested": N_("Untested"),
        "leading": N_("Leading"),
        "supported": N_("Supported"),
    },
    "check_digit": {
        "agrees": N_("Check digit agrees (this proves nothing more)"),
        "disagrees": N_("Check digit does not fit: read the number again"),
        "not_applicable": N_("No check digit outside North America"),
    },
    "code_origin": {
        "standard": N_("Defined by the standard"),
        "maker": N_("Defined by the maker"),
        "reserved": N_("Reserved by the standard"),
    },
    "measures": {"metric": N_("Metric"), "us": N_("US customary")},
})  # fmt: skip


def term(kind: TermKind, value: str) -> str:
    """Returns the label of a vocabulary's value; free words are returned as they stand."""
    label = _TERMS[kind].get(value)
    return _(label) if label else value


def terms(kind: TermKind) -> tuple[tuple[str, str], ...]:
    """Returns every value of a vocabulary with its label, in the order a list shows them."""
    return tuple((value, _(label)) for value, label in _TERMS[kind].items())


def term_kinds() -> tuple[TermKind, ...]:
    """Returns the vocabularies that have labels."""
    return get_args(TermKind)
