"""What the Case Crate says: where a removal stands, how many there are, why nothing can be written yet, who signed."""

from collections.abc import Mapping
from typing import Any, Final

from kbapp.i18n import N_, _, ngettext

_HEADS: Final[Mapping[str, str]] = {
    "concern": N_("Concern"), "vehicle": N_("Vehicle"), "timeline": N_("Timeline"), "codes": N_("Trouble codes"),
    "cause": N_("Cause"), "correction": N_("Correction"), "retest": N_("Retest"), "sign_off": N_("Sign-off"),
    "attachments": N_("Attachment"), "links": N_("Link"), "follow_ups": N_("Follow-up"), "notes": N_("Notes"),
    "lesson": N_("Lesson"), "opened": N_("Opened"), "state": N_("State"), "withdrawn_reason": N_("Why withdrawn"),
    "vehicle_ref": N_("Label of the vehicle"), "map": N_("Section map"), "shop": N_("Shop"),
    "people": N_("People"), "guard": N_("Swap guard"), "closed": N_("Closed"),
}  # fmt: skip
_LEAVES: Final[Mapping[str, str]] = {
    "text": N_("words"), "at": N_("when"), "by": N_("by whom"), "since": N_("since when"), "name": N_("name"),
    "began": N_("how it began"), "odometer": N_("odometer"), "note": N_("note"), "notes": N_("notes"), "part": N_("part"),
    "test": N_("test"), "outcome": N_("outcome"), "due": N_("when due"), "result": N_("result"), "effect": N_("effect"),
    "last_good": N_("when it last was good"), "section": N_("section"), "position": N_("position"), "parts": N_("parts"),
    "readings": N_("readings"), "services": N_("services"), "symptoms": N_("symptoms"), "conditions": N_("conditions"),
    "system": N_("system"), "make": N_("make"), "family": N_("family"), "engine": N_("engine"), "value": N_("value"),
    "where": N_("where"), "generation": N_("generation"), "model_year": N_("model year"), "id": N_("label"),
}  # fmt: skip
_VERDICTS: Final[Mapping[str, str]] = {
    "new": N_("taken in as from outside"), "revised": N_("taken in after the version you have"),
    "clash": N_("yours stays, unless you take fields"), "here": N_("nothing to do"), "refused": N_("not taken in"),
}  # fmt: skip
_KEY_STATES: Final[Mapping[str, str]] = {
    "trusted": N_("Trusted"), "seen": N_("Not compared"), "revoked": N_("Revoked"),
}  # fmt: skip


def place_words(path: str) -> str:
    """Returns where a dotted path of a case lies; lists count from one."""
    first, *rest = path.split(".")
    words = [_(_HEADS[first]) if first in _HEADS else first]
    for step in rest:
        if step.isdigit():
            words.append(str(int(step) + 1))
        elif step in _LEAVES:
            words.append(_(_LEAVES[step]))
        else:
            words.append(step)
    return " · ".join(words)


def value_words(value: Any) -> str:
    """Returns a value of a case on one line."""
    if value is None or value == "" or value == []:
        return _("nothing")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, Mapping):
        return ", ".join(value_words(one) for name, one in value.items() if name != "id")
    if isinstance(value, (list, tuple)):
        return "; ".join(value_words(one) for one in value)
    return " ".join(str(value).split())


def removals_words(count: int, kept: int) -> str:
    """Returns how many removals a kind has and how many of them stay."""
    words = ngettext("{n} removal", "{n} removals", count).format(n=count)
    if kept:
        words += ", " + ngettext("{n} kept", "{n} kept", kept).format(n=kept)
    return words


def cases_words(count: int) -> str:
    """Returns a number of cases."""
    return ngettext("{n} case", "{n} cases", count).format(n=count)


def chosen_words(ticked: int, listed: int, *, more: bool) -> str:
    """Returns how many of the listed cases go."""
    words = _("{ticked} of {listed} listed go").format(ticked=ticked, listed=listed)
    return words + _("; the book has more, narrow them to see the others") if more else words


def verdict_remark(verdict: str, count: int) -> str:
    """Returns how many cases have a verdict and what happens with them."""
    return f"{cases_words(count)}, {_(_VERDICTS[verdict])}"


def key_state_words(state: str) -> str:
    """Returns how a key known to the book stands."""
    return _(_KEY_STATES[state])


def groups_aloud(fingerprint: str) -> str:
    """Returns a fingerprint figure by figure and group by group, as it is read out by phone and by a screen reader."""
    return ", ".join(" ".join(group) for group in fingerprint.split())


def review_remark(cases: int, removals: int, kept: int) -> str:
    """Returns what a review holds."""
    return f"{cases_words(cases)}, {removals_words(removals, kept)}"


def refused_words(name: str, count: int) -> str:
    """Returns that a pack was refused as a whole."""
    template = ngettext(
        "{name} was refused as a whole: it is damaged or was altered, in {n} place. Nothing of it was read.",
        "{name} was refused as a whole: it is damaged or was altered, in {n} places. Nothing of it was read.",
        count,
    )
    return template.format(name=name, n=count)
