"""The case in hand as the form follows it: texts gathered to one revision, steps, undo, disputes, a draft meanwhile."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, QTimer, Signal

from kbapp.desktop.draft_keeper import DraftKeeper
from kbapp.desktop.open_book import OpenBook
from kbapp.records.fault import Fault

if TYPE_CHECKING:
    from kbapp.app.conflict import Dispute
    from kbapp.app.session import Session
    from kbapp.app.views import CaseView, ChangeSet
    from kbapp.app.working import CaseWork
    from kbapp.records.case import Case
    from kbapp.store.values import Revision

PREFIX: Final = "case:"
PAUSE_MS: Final = 900
"""Fields finished within this time of each other become one revision."""


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """A case as it stands, with its revisions (the latest first)."""

    view: "CaseView"
    can_undo: bool
    can_redo: bool
    revisions: "tuple[Revision, ...]" = ()

    @property
    def case(self) -> "Case":
        """The case."""
        return self.view.case

    @property
    def signed(self) -> bool:
        """Whether a change needs a reason."""
        return self.view.case.state == "proved"


@dataclass(slots=True)
class _Outcome:
    """What a commit came to: what was saved, and which texts the faults kept out."""

    held: dict[str, tuple[Fault, ...]] = field(default_factory=dict)
    taken: tuple[str, ...] = ()


class CaseDesk(QObject):
    """Every answer comes back on the GUI thread.

    ``shown``: a Shown after every step; ``recorded`` after one of one's own; ``kept`` when running text is a draft;
    ``faulty``: field → faults of texts that cannot be taken; ``reason_wanted`` when a signed case has changes that
    wait; ``disputed``: a Dispute; ``left_over``: texts of a draft of before; ``failed``: an error.
    """

    shown = Signal(object)
    recorded = Signal()
    kept = Signal()
    faulty = Signal(object)
    reason_wanted = Signal()
    disputed = Signal(object)
    left_over = Signal(object)
    failed = Signal(object)

    def __init__(self, book: OpenBook, parent: QObject) -> None:
        super().__init__(parent)
        self._book = book
        self._work: CaseWork | None = None
        self._pending: dict[str, str] = {}
        self._busy = False
        self._then: list[Callable[[], None]] = []
        self.now: Shown | None = None
        self.case_id = ""
        self._next_case = ""
        self.reason = ""
        self.draft = DraftKeeper(book, PREFIX, self)
        self.draft.kept.connect(self.kept)
        self.draft.failed.connect(self.failed)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self.commit)
        book.changed.connect(self._changed)

    # -- opening

    def open(self, case_id: str) -> None:
        """Takes another case in hand; texts of the one before are recorded first, or stay its draft."""
        self._next_case = case_id
        self.commit()
        self._whenever_free(self._open_next)

    def _open_next(self) -> None:
        case_id, self._next_case = self._next_case, ""
        if case_id:
            self._open(case_id)

    def _open(self, case_id: str) -> None:
        self.draft.flush()
        self._work, self.now, self._pending, self.reason = None, None, {}, ""
        self.case_id = case_id

        def work(session: "Session") -> "tuple[CaseWork, Shown, str]":
            from kbapp.app.working import CaseWork

            made = CaseWork(session, case_id)
            draft = session.drafts().get(PREFIX + made.case.id)
            return made, _shown(session, made), draft.text if draft else ""

        def done(found: "tuple[CaseWork, Shown, str]") -> None:
            self._work, self.case_id = found[0], found[0].case.id
            self.draft.begin(self.case_id)
            self._show(found[1])
            texts = _texts_of(found[2])
            if texts:
                self.left_over.emit(texts)

        self._book.run("change", self, lambda session, _control: work(session), done, self.failed.emit)

    def _show(self, shown: Shown) -> None:
        self.now = shown
        self.shown.emit(shown)

    # -- fields

    @property
    def pending(self) -> Mapping[str, str]:
        """Texts that are not recorded yet."""
        return self._pending

    def write(self, name: str, text: str, *, finished: bool = False) -> None:
        """Notes the text of a field: a draft at once, part of the next revision once it is finished."""
        if self.now is None:
            return
        from kbapp.app.case_fields import field_text

        if text == field_text(self.now.case, name):
            self._pending.pop(name, None)
        else:
            self._pending[name] = text
        self.draft.write(json.dumps(self._pending, ensure_ascii=False) if self._pending else "")
        if finished and self._pending:
            self._timer.start()

    def take_up(self, texts: Mapping[str, str]) -> None:
        """Goes on with the texts of a draft."""
        for name, text in texts.items():
            self.write(name, text)
        self._timer.start()

    def throw_away(self) -> None:
        """Forgets what is not recorded."""
        self._timer.stop()
        self._pending.clear()
        self.draft.recorded()
        if self.now is not None:
            self.shown.emit(self.now)

    def commit(self) -> None:
        """Records the finished texts as one revision; a signed case waits for a reason."""
        self._timer.stop()
        if not self._pending or self.now is None:
            return
        if self.now.signed and not self._reason_given():
            self.draft.flush()
            self.reason_wanted.emit()
            return
        texts = dict(self._pending)
        outcome = _Outcome()
        self._run(
            lambda session, work, reason: _record(session, work, texts, reason, outcome),
            lambda: self._recorded(texts, outcome),
        )

    def _recorded(self, texts: dict[str, str], outcome: _Outcome) -> None:
        for name in outcome.taken:
            if self._pending.get(name) == texts[name]:
                self._pending.pop(name)
        if self._pending:
            self.draft.write(json.dumps(self._pending, ensure_ascii=False))
        else:
            self.draft.recorded()
        self.faulty.emit(outcome.held)
        if outcome.taken:
            self.recorded.emit()

    def _reason_given(self) -> bool:
        from kbapp.app.desk import SHORTEST_REASON

        return len(self.reason.strip()) >= SHORTEST_REASON

    # -- steps

    def step(self, change: "Callable[[CaseWork], Case]", done: Callable[[], None] | None = None) -> bool:
        """Does one step: ``change`` returns the case as it is to be. Returns whether it was begun."""
        if self.now is None:
            return False
        if self.now.signed and not self._reason_given():
            self.reason_wanted.emit()
            return False

        def ended() -> None:
            self.recorded.emit()
            if done is not None:
                done()

        self.commit()
        self._whenever_free(lambda: self._run(lambda _s, work, reason: work.change(change(work), reason=reason), ended))
        return True

    def undo(self) -> None:
        """Takes the last step back; texts half written are recorded first, so that they can be taken back, too."""
        self.commit()
        self._whenever_free(lambda: self._run(lambda _s, work, _reason: work.undo(), self.recorded.emit))

    def redo(self) -> None:
        """Does the last undone step again."""
        self._whenever_free(lambda: self._run(lambda _s, work, _reason: work.redo(), self.recorded.emit))

    def settle(self, settled: "Case", dispute: "Dispute", done: Callable[[], None]) -> None:
        """Records what a dispute came to."""

        def ended() -> None:
            self._pending.clear()
            self.draft.recorded()
            self.recorded.emit()
            done()

        self._run(lambda _s, work, reason: work.settle(settled, dispute.theirs, dispute.head, reason=reason), ended)

    def _run(self, change: "Callable[[Session, CaseWork, str], ChangeSet]", done: Callable[[], None]) -> None:
        work, reason = self._work, self.reason.strip()
        if work is None or self._busy:
            return
        self._busy = True
        seen: list[Shown] = []

        def run(session: "Session") -> "ChangeSet":
            changes = change(session, work, reason)
            seen.append(_shown(session, work))
            return changes

        def ended(_changes: "ChangeSet") -> None:
            self._busy = False
            if work is self._work:
                self.reason = ""
                self._show_after(seen[0], done)
            self._go_on()

        self._book.change(self, run, ended, self._not_done)

    def _show_after(self, shown: Shown, done: Callable[[], None]) -> None:
        self.now = shown
        done()
        self.shown.emit(shown)

    def _not_done(self, error: Exception) -> None:
        from kbapp.app.conflict import Dispute
        from kbapp.store.values import StaleSave

        self._busy = False
        self._then.clear()
        if self._next_case:
            self._open_next()  # what could not be recorded stays a draft and is offered with its case
            return
        if isinstance(error, StaleSave):
            self.disputed.emit(Dispute.of(error))
        elif getattr(error, "code", "") == "signed_needs_reason":
            self.reason_wanted.emit()
        else:
            self.failed.emit(error)

    def _whenever_free(self, then: Callable[[], None]) -> None:
        if self._busy:
            self._then.append(then)
        else:
            then()

    def _go_on(self) -> None:
        if self._then and not self._busy:
            self._then.pop(0)()

    # -- others

    def _changed(self, changes: "ChangeSet") -> None:
        now = self.now
        if now is None or self.case_id not in changes.cases or self._busy or changes.revision == now.view.revision:
            return
        work = self._work

        def refresh(session: "Session") -> "Shown | None":
            if work is None or self._pending:
                return None  # what is being written is merged when it is recorded
            work.refresh()
            return _shown(session, work)

        def done(shown: "Shown | None") -> None:
            if shown is not None and work is self._work and not self._busy and shown.view != now.view:
                self._show(shown)

        self._book.run("change", self, lambda session, _control: refresh(session), done, self.failed.emit)

    def leave(self) -> None:
        """Records what can be recorded and keeps the rest as a draft."""
        self.commit()
        self.draft.leave()


def _record(session: "Session", work: "CaseWork", texts: dict[str, str], reason: str, outcome: _Outcome) -> "ChangeSet":
    from kbapp.app.case_fields import held_back, with_fields
    from kbapp.app.standing import refuse_left_on
    from kbapp.app.views import ChangeSet

    checked = with_fields(work.case, texts)
    if checked.value is None:
        outcome.held = held_back(texts, checked.faults)
        texts = {name: text for name, text in texts.items() if name not in outcome.held}
        checked = with_fields(work.case, texts)
    if checked.value is None or not texts:
        return ChangeSet(0, ())
    if texts.get("state") == "repaired":
        refuse_left_on(session, checked.value)
    changes = work.change(checked.value, reason=reason)
    outcome.taken = tuple(texts)
    return changes


def _shown(session: "Session", work: "CaseWork") -> Shown:
    return Shown(work.view, work.can_undo, work.can_redo, session.revisions(work.case.id))


def _texts_of(draft: str) -> dict[str, str]:
    from kbapp.app.case_fields import FIELDS

    try:
        values = json.loads(draft) if draft else {}
    except ValueError:
        return {}
    if not isinstance(values, dict):
        return {}
    return {name: text for name, text in values.items() if name in FIELDS and isinstance(text, str)}
