"""A reason in words: what its part of the score is called, and what matched."""

from kbapp.i18n import _
from kbapp.lookup.question import Reason
from kbapp.wording.reasons import reason_detail, reason_label


def reason_words(reason: Reason) -> str:
    """Returns ``Same family: Drovane``, or the name alone where there is no detail."""
    name, detail = reason_label(reason.name), reason_detail(reason)
    return _("{reason}: {detail}").format(reason=name, detail=detail) if detail else name
