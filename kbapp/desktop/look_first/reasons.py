"""A reason in words: in full for the reading pane and for reading aloud, in short for a line of the list."""

from typing import Final

from kbapp.i18n import N_, _
from kbapp.lookup.question import Reason
from kbapp.wording.reasons import reason_detail, reason_label

_SHORT: Final = {
    "words": N_("“{detail}”"),
    "trade_words": N_("“{detail}”"),
    "saying": N_("“{detail}”"),
    "spelling": N_("near “{detail}”"),
    "symptom": N_("{detail}"),
    "vehicle": N_("{detail}"),
    "part_tried": N_("tried in vain: {detail}"),
    "tried_was_cause": N_("was the cause: {detail}"),
    "evidence": N_("same outcome: {detail}"),
    "evidence_against": N_("other outcome: {detail}"),
    "proof": N_("{detail}"),
}


def reason_words(reason: Reason) -> str:
    """Returns ``Kin vehicle: same family: Drovane``, or the name alone where there is no detail."""
    name, detail = reason_label(reason.name), _detail(reason)
    return _("{reason}: {detail}").format(reason=name, detail=detail) if detail else name


def reason_short(reason: Reason) -> str:
    """Returns the least that tells a reason from the others: what matched, seldom what that is called."""
    detail = _detail(reason)
    if not detail or reason.name not in _SHORT:
        return reason_label(reason.name)
    return _(_SHORT[reason.name]).format(detail=detail)


def _detail(reason: Reason) -> str:
    # tests and outcomes may be ids of a map
    return reason_detail(reason).replace("_", " ")
