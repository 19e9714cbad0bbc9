"""Words of proving: what a case lacks, how a retest differs from its baseline, what a revision changed, who signed."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any, Final

from kbapp.app.aftercare import CAME_BACK, GOOD, NOT_REACHED, Version
from kbapp.app.lacks import Lack, WritingCheck
from kbapp.app.lead_check import Group
from kbapp.i18n import N_, _, ngettext
from kbapp.isolation.retest import Change, Difference, Missing, Place, RetestComparison, Value
from kbapp.records.case import FollowUp
from kbapp.records.moment import is_instant
from kbapp.store.sign_offs import SignedLine
from kbapp.wording.case_words import moment_words, plain_words, unit_words
from kbapp.wording.terms import term

GROUP_WORDS: Final[dict[Group, str]] = {
    "waiting": N_("Waiting"),
    "sent_back": N_("Sent back"),
    "not_proved": N_("Not proved"),
    "elsewhere": N_("Elsewhere"),
}
_LACKS: Final[dict[str, str]] = {
    "not_repaired": N_("Not repaired yet"),
    "still_on": N_("Still on the vehicle: {what}"),
    "no_cause": N_("No cause is recorded"),
    "no_retest": N_("No retest"),
    "no_baseline": N_("No retest repeats a test from before the repair"),
    "not_passed": N_("The retest did not pass"),
    "other_conditions": N_("The retest was run under other conditions"),
    "changed_since": N_("Something was changed after the retest"),
}
_CHECKS: Final[dict[str, tuple[str, str]]] = {
    "concern": (N_("The concern says what the vehicle does"), N_("Say in a few more words what the vehicle does")),
    "test": (N_("A test or finding tells the faults apart"), N_("Record the test that told the faults apart")),
    "cause": (N_("The cause is recorded"), N_("Record the cause")),
    "correction": (N_("The correction is recorded"), N_("Record what was done about it")),
    "retest": (N_("A retest repeats the test from before"), N_("Repeat the test from before the repair")),
    "words": (N_("It has a search word of the vocabulary"), N_("Add a search word of the vocabulary, so that it is found again")),
}  # fmt: skip
_MET: Final = {"met": N_("met"), "not_met": N_("not met"), "": N_("not said")}
_RESULTS: Final = {GOOD: N_("Good"), CAME_BACK: N_("Came back"), NOT_REACHED: N_("Not reached")}
_REASONS: Final = {
    "sign_off:proved": N_("Signed as proved"),
    "sign_off:not_proved": N_("Signed as not proved"),
    "sign_off:sent_back": N_("Sent back"),
    "follow_up": N_("Followed up"),
    "came_back": N_("The vehicle came back"),
    "withdrawn": N_("Withdrawn"),
    "same_as": N_("Joined with another record of the same job"),
    "practice": N_("Came with the practice book"),
    "add": N_("Added from a file"),
    "import": N_("Imported"),
    "undo": N_("A step taken back"),
    "redo": N_("A step done again"),
}
_SIGNED: Final = {
    "proved": N_("Proved"),
    "not_proved": N_("Not proved"),
    "sent_back": N_("Sent back"),
    "accepted": N_("Taken over from another shop"),
}
_FIELDS: Final = {
    "state": N_("State"), "number": N_("Number"), "opened": N_("Opened"), "vehicle_ref": N_("Label of the vehicle"),
    "vehicle": N_("Vehicle"), "concern": N_("Concern"), "codes": N_("Codes"), "map": N_("Section map"),
    "timeline": N_("Timeline"), "cause": N_("Cause"), "correction": N_("Correction"), "retest": N_("Retest"),
    "follow_ups": N_("Follow-up"), "sign_off": N_("Signature"), "withdrawn_reason": N_("Why withdrawn"),
    "lesson": N_("Lesson"), "notes": N_("Notes"), "attachments": N_("Attachments"), "links": N_("Links"),
    "shop": N_("Shop"), "text": N_("Text"), "symptoms": N_("Symptoms"), "system": N_("System"), "part": N_("Part"),
    "section": N_("Section"), "position": N_("Position"), "separated": N_("Separated"), "odometer": N_("Odometer"),
    "readings": N_("Readings"), "outcome": N_("Outcome"), "result": N_("Result"), "parts": N_("Parts"),
    "services": N_("Services"), "conditions": N_("Conditions"), "began": N_("Began"), "since": N_("Since"),
    "effect": N_("Effect"), "status": N_("Status"), "by": N_("By"), "at": N_("When"), "due": N_("Due"),
    "done": N_("Done"), "note": N_("Note"), "kind": N_("Kind"), "test": N_("Test"), "found": N_("Found on it"),
}  # fmt: skip
_LONGEST: Final = 300


def local_words(at: str) -> str:
    """Returns an instant the book keeps in UTC as the clock on the wall showed it."""
    return moment_words(datetime.fromisoformat(at).astimezone().isoformat(timespec="seconds")) if at else ""


def lack_words(lack: Lack) -> str:
    """Returns what a case lacks to be proved."""
    return _(_LACKS[lack.code]).format(what=lack.what)


def missing_words(missing: Missing) -> str:
    """Returns why a retest does not prove the repair."""
    return _(_LACKS[missing])


def check_words(check: WritingCheck) -> str:
    """Returns that something is written, or what to write."""
    return _(_CHECKS[check.name][0 if check.done else 1])


def difference_words(difference: Difference) -> str:
    """Returns one way in which a retest was not run as its baseline."""
    before, after, name = difference.before, difference.after, difference.name
    if difference.kind == "condition":
        said = _("{name}: {before} before, {after} now")
        return said.format(name=plain_words(name), before=_(_MET[before]), after=_(_MET[after]))
    if difference.kind == "unit":
        said = _("{name}: read in {before} before, in {after} now")
        return said.format(name=plain_words(name), before=unit_words(before) or "-", after=unit_words(after) or "-")
    if difference.kind == "place":
        return _("{name}: read before, not now").format(name=plain_words(name))
    if difference.kind == "repeats":
        return _("{before} repeats before, {after} now").format(before=before, after=after)
    if difference.kind == "test":
        return _("Another test: {before} before, {after} now").format(
            before=plain_words(before), after=plain_words(after)
        )
    return _("Said to be run under other conditions")


def changes_words(changes: Sequence[Change]) -> str:
    """Returns what was changed, with the lines."""
    return ", ".join(
        _("{name} (line {n})").format(
            name=" ".join(
                filter(None, (plain_words(change.name).rstrip(".") or _("Service"), term("position", change.position)))
            ),
            n=change.line,
        )
        for change in changes
    )


def not_separated_words(changes: Sequence[Change]) -> str:
    """Returns why the cause is not separated."""
    said = ngettext(
        "{n} change between the test and its retest: {what}.",
        "{n} changes between the test and its retest: {what}. Which of them cured it cannot be told.",
        len(changes),
    )
    return said.format(n=len(changes), what=changes_words(changes))


def flags(found: RetestComparison, *, separated: bool) -> Iterator[str]:
    """Yields everything to be told about a retest; ``separated`` is what the case says of its cause."""
    yield from (difference_words(difference) for difference in found.differences)
    if found.changed_since:
        yield _("Changed after it: {what}").format(what=changes_words(found.changed_since))
    if not found.separated and not separated:
        yield not_separated_words(found.changes)
    elif not found.separated:
        yield _("Recorded as one job: {what}").format(what=changes_words(found.changes))
    if found.baseline is None:
        yield missing_words("no_baseline")


def values_words(values: Sequence[Value], unit: str) -> str:
    """Returns the repeats at one place, with their unit."""
    if not values:
        return _("not read")
    said = " ".join(value if isinstance(value, str) else f"{value:g}" for value in values)
    return " ".join(filter(None, (said, unit_words(unit))))


def moved_words(place: Place) -> str:
    """Returns by how much the mean moved, blank where that cannot be said."""
    means = place.means
    if means is None:
        return ""
    return " ".join(filter(None, (f"{means[1] - means[0]:+.3g}", unit_words(place.unit))))


def follow_up_words(follow_up: FollowUp) -> str:
    """Returns when a follow-up is due, or what came of it."""
    due = ", ".join(
        filter(None, (
            moment_words(follow_up.due),
            f"{follow_up.due_odometer.value:,.0f} {follow_up.due_odometer.unit}" if follow_up.due_odometer else "",
        ))
    )  # fmt: skip
    if follow_up.done is None:
        return _("Due {due}").format(due=due) if due else _("Due")
    result = result_words(follow_up.result)
    done = _("{result}, {done}").format(result=result or _("Done"), done=moment_words(follow_up.done))
    return done if not follow_up.text else _("{done}: {text}").format(done=done, text=follow_up.text)


def result_words(result: str) -> str:
    """Returns the result of a follow-up."""
    return _(_RESULTS[result]) if result in _RESULTS else plain_words(result)


def signed_line_words(line: SignedLine) -> str:
    """Returns one line of the sign-off log."""
    who = ", ".join(filter(None, (
        line.by, term_role(line.role), _("own work") if line.own_work else "", local_words(line.at),
        _("revision {n}").format(n=line.revision),
    )))  # fmt: skip
    return _("{result}: {who}").format(result=_(_SIGNED[line.result]), who=who)


def term_role(role: str) -> str:
    """Returns a role as a word."""
    return {"lead": _("lead"), "technician": _("technician")}.get(role, role)


def version_words(version: Version) -> str:
    """Returns why a revision was saved, in the words of whoever saved it or the program's own."""
    if version.reason in _REASONS:
        return _(_REASONS[version.reason])
    if version.reason:
        return version.reason
    if not version.changes:
        return _("Recorded") if version.revision else ""
    return ngettext("{n} field changed", "{n} fields changed", len(version.changes)).format(n=len(version.changes))


def field_words(path: str) -> str:
    """Returns the name of a field of a case: ``cause.text`` as ``Cause, text``."""
    first, *rest = path.split(".")
    names = [_(_FIELDS[first]) if first in _FIELDS else plain_words(first)]
    names += [_(_FIELDS[name]).lower() if name in _FIELDS else name.replace("_", " ") for name in rest]
    return ", ".join(names)


def changed_words(value: Any) -> str:
    """Returns the value of a field before or after a change."""
    if value is None or value == "" or value == []:
        return _("blank")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, dict):
        said = ", ".join(f"{field_words(str(name))}: {changed_words(one)}" for name, one in value.items())
    elif isinstance(value, list):
        said = "; ".join(changed_words(one) for one in value)
    elif isinstance(value, str) and is_instant(value):
        said = moment_words(value)
    else:
        said = f"{value:g}" if isinstance(value, float) else str(value)
    return said if len(said) <= _LONGEST else said[: _LONGEST - 1] + "…"
