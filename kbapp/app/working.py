"""One case being worked on: every step is saved at once as a revision, and can be undone and redone."""

from dataclasses import dataclass

from kbapp.app.aftercare import touches_signature, unsigned
from kbapp.app.desk import SHORTEST_REASON
from kbapp.app.session import Session
from kbapp.app.views import CaseView, ChangeSet
from kbapp.errors import InputError
from kbapp.records.case import Case, Retest
from kbapp.records.merge import merge
from kbapp.records.timeline import TimelineEntry

MOST_STEPS = 200


@dataclass(frozen=True, slots=True)
class Step:
    """What one step changed: the document before and after it."""

    before: Case
    after: Case


class CaseWork:
    """A case in hand. Steps of others stay when a step of one's own is undone; call it from one thread at a time."""

    def __init__(self, session: Session, case_id: str) -> None:
        self._session = session
        self.view: CaseView = session.case(case_id)
        self._done: list[Step] = []
        self._undone: list[Step] = []

    @property
    def case(self) -> Case:
        """The case as it stands."""
        return self.view.case

    @property
    def can_undo(self) -> bool:
        """Whether a step of this work can be undone."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether an undone step can be done again."""
        return bool(self._undone)

    def refresh(self) -> CaseView:
        """Takes in what others saved, and returns the case as it stands."""
        self.view = self._session.case(self.case.id)
        return self.view

    def change(self, new: Case, *, reason: str = "") -> ChangeSet:
        """Saves a changed case and remembers the step. What a signature stands for is only changed with a reason.

        Raises:
            StaleSave: someone else changed the same field since; nothing is written.
            InputError: ``signed_needs_reason``.
        """
        before = self.case
        new = _unsigned(before, new, reason)
        changed = self._save(new, reason)
        if new != before:
            self._done = [*self._done, Step(before, new)][-MOST_STEPS:]
            self._undone.clear()
        return changed

    def settle(self, settled: Case, theirs: Case, head: int, *, reason: str = "") -> ChangeSet:
        """Saves what a dispute came to over the revision ``head``, which holds ``theirs``; a step like any other.

        Raises:
            StaleSave: someone changed the same fields once more.
            InputError: ``signed_needs_reason``.
        """
        settled = _unsigned(theirs, settled, reason)
        changed = self._session.save(settled, head, reason=reason)
        self.refresh()
        if settled != theirs:
            self._done = [*self._done, Step(theirs, settled)][-MOST_STEPS:]
            self._undone.clear()
        return changed

    def _save(self, new: Case, reason: str) -> ChangeSet:
        changed = self._session.save(new, self.view.revision, reason=reason)
        self.refresh()
        return changed

    def next_id(self, letter: str = "e") -> str:
        """Returns an id that no line of the case has: ``e1``, ``e2`` … (``r`` for retests)."""
        taken = {entry.id for entry in self.case.timeline} | {retest.id for retest in self.case.retest}
        n = 1 + len(self.case.timeline if letter == "e" else self.case.retest)
        while f"{letter}{n}" in taken:
            n += 1
        return f"{letter}{n}"

    def add(self, *entries: TimelineEntry) -> ChangeSet:
        """Adds lines at the end of the timeline."""
        return self.change(self.case.model_copy(update={"timeline": (*self.case.timeline, *entries)}))

    def replace(self, entry: TimelineEntry) -> ChangeSet:
        """Puts a line in place of the one with its id.

        Raises:
            InputError: ``line_unknown``.
        """
        if all(line.id != entry.id for line in self.case.timeline):
            raise InputError("line_unknown", line=entry.id)
        lines = tuple(entry if line.id == entry.id else line for line in self.case.timeline)
        return self.change(self.case.model_copy(update={"timeline": lines}))

    def remove(self, entry_id: str) -> ChangeSet:
        """Takes a line out of the timeline; earlier revisions keep it.

        Raises:
            InputError: ``line_unknown``.
            DocumentFaults: another line refers to it.
        """
        lines = tuple(line for line in self.case.timeline if line.id != entry_id)
        if len(lines) == len(self.case.timeline):
            raise InputError("line_unknown", line=entry_id)
        return self.change(self.case.model_copy(update={"timeline": lines}))

    def add_retest(self, retest: Retest) -> ChangeSet:
        """Adds a retest."""
        return self.change(self.case.model_copy(update={"retest": (*self.case.retest, retest)}))

    def undo(self) -> ChangeSet:
        """Takes the last step back; what others added since stays.

        Raises:
            InputError: ``nothing_to_undo``, or ``undo_clash`` where others changed the same field since.
        """
        if not self._done:
            raise InputError("nothing_to_undo")
        step = self._done[-1]
        changed = self._apply(step.after, step.before, "undo")
        self._undone.append(self._done.pop())
        return changed

    def redo(self) -> ChangeSet:
        """Does the last undone step again.

        Raises:
            InputError: ``nothing_to_redo``, or ``undo_clash``.
        """
        if not self._undone:
            raise InputError("nothing_to_redo")
        step = self._undone[-1]
        changed = self._apply(step.before, step.after, "redo")
        self._done.append(self._undone.pop())
        return changed

    def _apply(self, base: Case, wanted: Case, reason: str) -> ChangeSet:
        now = self.refresh().case
        merged = merge(base, wanted, now)
        if merged.case is None:
            raise InputError("undo_clash", fields=", ".join(conflict.path for conflict in merged.conflicts))
        return self._save(merged.case, reason)


def _unsigned(before: Case, new: Case, reason: str) -> Case:
    """Returns the changed case, without its signature where that no longer stands for it."""
    if before.state != "proved" or new.state != "proved" or not touches_signature(before, new):
        return new
    if len(reason.strip()) < SHORTEST_REASON:
        raise InputError("signed_needs_reason", number=before.number or before.id)
    return unsigned(before, new)
