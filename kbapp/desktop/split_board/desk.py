"""The case in hand as the screen follows it: steps on the lane of changes, advice and similar cases beside them."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.split_board.prepared import Prepared, prepare
from kbapp.desktop.tasks import Latest, Tasks

if TYPE_CHECKING:
    from kbapp.app.board import BoardView, BoardWork, Outlook
    from kbapp.app.session import Session
    from kbapp.app.views import ChangeSet
    from kbapp.lookup.question import Answer

ADVISE_MS = 60
"""Steps that follow each other so closely are advised on together."""


class BoardDesk(QObject):
    """One open case. Every answer comes back on the GUI thread.

    ``shown``: a BoardView after every step; ``advised``: what is Prepared of
    an outlook; ``kin``: an Answer; ``recorded`` after a step of
    one's own; ``failed``: an error, nothing was written.
    """

    shown = Signal(object)
    advised = Signal(object)
    kin = Signal(object)
    recorded = Signal()
    failed = Signal(object)

    def __init__(self, book: OpenBook, tasks: Tasks, parent: QObject) -> None:
        super().__init__(parent)
        self._book = book
        self._work: BoardWork | None = None
        self.view: BoardView | None = None
        self.outlook: Outlook | None = None
        self.case_id = ""
        self.busy = False
        self._opening = Latest(tasks, self)
        self._advising = Latest(tasks, self)
        self._looking = Latest(tasks, self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(ADVISE_MS)
        self._timer.timeout.connect(self._advise)
        book.changed.connect(self._changed)

    def open(self, case_id: str) -> None:
        """Takes another case in hand."""
        self.case_id, self._work, self.view, self.outlook = case_id, None, None, None

        def work(session: "Session") -> "tuple[BoardWork, BoardView]":
            from kbapp.app.board import BoardWork

            made = BoardWork(session, case_id)
            return made, made.view()

        def done(found: "tuple[BoardWork, BoardView]") -> None:
            self._work = found[0]
            self.case_id = found[0].case.id
            self._show(found[1])

        self._opening.ask(self._book.bound(lambda session, _control: work(session)), done, self.failed.emit)

    def leave(self) -> None:
        """Puts the case down."""
        self._timer.stop()
        for read in (self._opening, self._advising, self._looking):
            read.cancel()
        self.case_id, self._work, self.view, self.outlook = "", None, None, None

    @property
    def current(self) -> bool:
        """Whether advice on the case as it stands has arrived."""
        return self.view is not None and self.outlook is not None and self.outlook.revision == self.view.view.revision

    def _show(self, view: "BoardView") -> None:
        self.view = view
        self.shown.emit(view)
        self._timer.start()

    def step(self, change: "Callable[[BoardWork], ChangeSet]", done: Callable[[], None] | None = None) -> bool:
        """Does one step on the case; returns whether it could be started."""
        work = self._work
        if work is None or self.busy:
            return False
        self.busy = True
        seen: list[BoardView] = []

        def run(_session: "Session") -> "ChangeSet":
            changes = change(work)
            seen.append(work.view())
            return changes

        def ended(_changes: "ChangeSet") -> None:
            self.busy = False
            if work is self._work:
                self._show(seen[0])
                self.recorded.emit()
                if done is not None:
                    done()

        self._book.change(self, run, ended, self._step_failed)
        return True

    def _step_failed(self, error: Exception) -> None:
        self.busy = False
        self.failed.emit(error)
        self._refresh()

    def _changed(self, changes: "ChangeSet") -> None:
        view = self.view
        if (
            view is not None
            and self.case_id in changes.cases
            and not self.busy
            and changes.revision != view.view.revision
        ):
            self._refresh()

    def _refresh(self) -> None:
        work = self._work
        if work is not None:
            self._book.run("change", self, lambda _session, _control: work.refresh(), self._refreshed, self.failed.emit)

    def _refreshed(self, view: "BoardView") -> None:
        if self.view is not None and view.case.id == self.view.case.id and view.view != self.view.view:
            self._show(view)

    def _advise(self) -> None:
        view = self.view
        if view is None:
            return

        def work(session: "Session") -> Prepared:
            from kbapp.app.board import outlook

            return prepare(view, outlook(session, view))

        self._advising.ask(self._book.bound(lambda session, _control: work(session)), self._advised, self.failed.emit)
        self._look(view)

    def _advised(self, prepared: Prepared) -> None:
        self.outlook = prepared.outlook
        self.advised.emit(prepared)

    def _look(self, view: "BoardView") -> None:
        def ask(session: "Session", stopped: Callable[[], bool]) -> "Answer":
            from kbapp.app.board import question_of

            return session.look(question_of(view.case), stopped)

        self._looking.ask(
            self._book.bound(lambda session, control: ask(session, control.stopped)), self.kin.emit, self.failed.emit
        )
