"""What comes after the repair: follow-ups, comebacks, withdrawals, duplicates, corrections of what was signed."""

import secrets
import uuid
from dataclasses import dataclass
from typing import Final

from kbapp.app.desk import CaseDesk, reason_of, view_of
from kbapp.app.views import CaseView, ChangeSet
from kbapp.errors import InputError
from kbapp.records.base import clean_text
from kbapp.records.case import Case, Cause, Concern, Correction, FollowUp, Link, Odometer, Vehicle
from kbapp.records.merge import Difference, differences
from kbapp.records.moment import instant_now

VOUCHED_FOR: Final = ("state", "cause", "correction", "retest", "timeline")
"""What a signature stands for: where a correction touches it, the case waits for the lead again."""
_LINES: Final = ("timeline", "retest")
GOOD: Final = "good"
CAME_BACK: Final = "came back"
NOT_REACHED: Final = "not reached"
RESULTS: Final = (GOOD, CAME_BACK, NOT_REACHED)
"""The usual results of a follow-up; others stand in words."""


@dataclass(frozen=True, slots=True)
class Comeback:
    """A vehicle that came back: with the same concern or another, in whose words, at what distance."""

    same_concern: bool
    concern: str = ""
    odometer: Odometer | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class Version:
    """One revision of a case and what it changed; ``author`` and ``reason`` as they were saved, ``saved_at`` in UTC."""

    revision: int
    saved_at: str
    author: str
    reason: str
    changes: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class Written:
    """The texts of a case that a correction may change; blank takes one away."""

    concern: str
    cause: str
    correction: str
    lesson: str
    symptoms: tuple[str, ...]


class Aftercare(CaseDesk):
    """What happens to cases of one open book after their repair."""

    def case(self, case_id: str) -> CaseView:
        """Returns a case by id or number."""
        return view_of(self._book.case(case_id))

    def follow_up(self, case_id: str, based_on: int, place: int, result: str, text: str = "") -> ChangeSet:
        """Records that a follow-up (by its place in the case, from 0) was done, with its result.

        Raises:
            InputError: ``follow_up_unknown`` or ``follow_up_without_result``.
        """
        case = self._book.revision(case_id, based_on).case
        if not 0 <= place < len(case.follow_ups) or case.follow_ups[place].done is not None:
            raise InputError("follow_up_unknown")
        said = clean_text(result, lines=False)
        if not said:
            raise InputError("follow_up_without_result")
        done = case.follow_ups[place].model_copy(update={"done": _today(), "result": said, "text": clean_text(text)})
        lines = tuple(done if n == place else one for n, one in enumerate(case.follow_ups))
        return self._save(case.model_copy(update={"follow_ups": lines}), based_on, "follow_up")

    def came_back(self, case_id: str, based_on: int, told: Comeback) -> ChangeSet:
        """Opens a case for the vehicle's return and marks the old one; both name each other. The new one comes first.

        Raises:
            InputError: ``comeback_not_repaired``, or ``comeback_without_concern``: another concern needs its words.
            StaleSave: others changed the same; nothing is written.
        """
        old = self._book.revision(case_id, based_on).case
        if old.state not in ("repaired", "proved"):
            raise InputError("comeback_not_repaired", number=old.number or old.id)
        if not told.same_concern and not told.concern.strip():
            raise InputError("comeback_without_concern")
        label = old.vehicle_ref or f"v-{secrets.token_hex(3)}"
        new = _returned(old, told, label).model_copy(update={"shop": self._book.info.shop})
        marked = old.model_copy(
            update={
                "state": "came_back",
                "vehicle_ref": label,
                "links": (*old.links, Link(kind="came_back_as", case=new.id)),
                "follow_ups": _came_back(old.follow_ups, clean_text(told.words)),
            }
        )
        saved = self._book.save_together([(new, None), (marked, based_on)], author=self._author, reason="came_back")
        private = self._book.private(old.id)
        if not private.empty:
            self._book.set_private(new.id, private, self._author)
        return self._told(*saved)

    def withdraw(self, case_id: str, based_on: int, reason: str) -> ChangeSet:
        """Takes a case out of statistics and of the top of answers, with a reason; it stays readable.

        Raises:
            InputError: ``reason_too_short`` or ``withdrawn_already``.
        """
        case = self._book.revision(case_id, based_on).case
        if case.state == "withdrawn":
            raise InputError("withdrawn_already", number=case.number or case.id)
        update = {"state": "withdrawn", "withdrawn_reason": reason_of(reason)}
        return self._save(case.model_copy(update=update), based_on, "withdrawn")

    def same_as(self, case_id: str, based_on: int, other: str) -> ChangeSet:
        """Says that two cases record the same job: both name each other, and they count once.

        Raises:
            InputError: ``same_as_itself``, ``same_as_already``, or the other is not found.
        """
        case = self._book.revision(case_id, based_on).case
        found = self._book.case(other)
        if found.case.id == case.id:
            raise InputError("same_as_itself")
        if any(link.kind == "same_as" and link.case == found.case.id for link in case.links):
            raise InputError("same_as_already", number=found.case.number or found.case.id)
        mine = _tied(case, Link(kind="same_as", case=found.case.id))
        theirs = _tied(found.case, Link(kind="same_as", case=case.id))
        pairs = [(mine, based_on), (theirs, found.revision)]
        return self._told(*self._book.save_together(pairs, author=self._author, reason="same_as"))

    def correct(self, case_id: str, based_on: int, new: Case, reason: str) -> ChangeSet:
        """Corrects a case by a revision with a reason. What a signature stands for is not corrected under it.

        Raises:
            InputError: ``reason_too_short`` or ``nothing_corrected``.
            StaleSave: others changed the same.
        """
        before = self._book.revision(case_id, based_on).case
        if new == before:
            raise InputError("nothing_corrected")
        why = reason_of(reason)
        return self._save(unsigned(before, new), based_on, why)

    def history(self, case_id: str) -> tuple[Version, ...]:
        """Returns every version of a case, the latest first, with the fields each one changed."""
        revisions = self._book.revisions(case_id)
        cases = [self._book.revision(case_id, one.revision).case for one in revisions]
        out = []
        for n, one in enumerate(revisions):
            changes = differences(cases[n + 1], cases[n]) if n + 1 < len(cases) else ()
            out.append(Version(one.revision, one.saved_at, one.author, one.reason, changes))
        return tuple(out)


def corrected(case: Case, written: Written) -> Case:
    """Returns a case with its texts corrected; a blank concern leaves it as it was."""
    text, cause = clean_text(written.concern) or case.concern.text, clean_text(written.cause)
    words = tuple(dict.fromkeys(word for one in written.symptoms if (word := clean_text(one, lines=False))))
    update: dict[str, object] = {
        "concern": case.concern.model_copy(update={"text": text, "symptoms": words}),
        "cause": None,
        "lesson": clean_text(written.lesson),
    }
    if cause:
        update["cause"] = case.cause.model_copy(update={"text": cause}) if case.cause else Cause(text=cause)
    done = (case.correction or Correction()).model_copy(update={"text": clean_text(written.correction)})
    update["correction"] = None if done == Correction() else done
    return case.model_copy(update=update)


def touches_signature(before: Case, after: Case) -> bool:
    """Returns whether a change alters what the signature stands for; lines added behind are no alteration."""
    old, new = before.plain(), after.plain()
    for field in VOUCHED_FOR:
        mine, theirs = old.get(field), new.get(field)
        if field in _LINES and mine and theirs:
            theirs = theirs[: len(mine)]
        if mine != theirs and not (field in _LINES and not mine):
            return True
    return False


def unsigned(before: Case, after: Case) -> Case:
    """Returns a corrected case: repaired and without its signature where the correction alters what that stands for."""
    if before.state != "proved" or after.state != "proved" or not touches_signature(before, after):
        return after
    return after.model_copy(update={"state": "repaired", "sign_off": None})


def _tied(case: Case, link: Link) -> Case:
    return case if link in case.links else case.model_copy(update={"links": (*case.links, link)})


def _today() -> str:
    return instant_now()[:10]


def _came_back(follow_ups: tuple[FollowUp, ...], words: str) -> tuple[FollowUp, ...]:
    """Returns the follow-ups with the comeback as the result of the first open one, else as one of its own."""
    told = {"done": _today(), "result": CAME_BACK, "text": words}
    for n, one in enumerate(follow_ups):
        if one.done is None:
            return (*follow_ups[:n], one.model_copy(update=told), *follow_ups[n + 1 :])
    return (*follow_ups, FollowUp(done=_today(), result=CAME_BACK, text=words))


def _returned(old: Case, told: Comeback, label: str) -> Case:
    """Returns the case of the return: same vehicle, and the same concern or another in its own words."""
    text = clean_text(told.concern) or old.concern.text
    concern = old.concern.model_copy(update={"text": text, "began": "", "since": None, "last_good": ""})
    vehicle = old.vehicle
    if told.odometer is not None:
        vehicle = (vehicle or Vehicle()).model_copy(update={"odometer": told.odometer})
    return Case(
        format=old.format,
        id=str(uuid.uuid4()),
        state="open",
        opened=instant_now(),
        vehicle_ref=label,
        vehicle=vehicle,
        concern=concern if told.same_concern else Concern(text=text, system=None),
        map=old.map if told.same_concern else None,
        links=(Link(kind="supersedes", case=old.id),),
    )
