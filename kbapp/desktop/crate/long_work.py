"""Work on the crate that takes a while: a note with a bar and a way to stop, on the page."""

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

import shiboken6
from PySide6.QtCore import QObject, Signal

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.tasks import Lane
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.errors import Cancelled
from kbapp.i18n import _

if TYPE_CHECKING:
    from kbapp.app.crate import Crate
    from kbapp.app.session import Session

T = TypeVar("T")
Progress = Callable[[int, int], None]
CrateWork = Callable[["Crate", Progress], T]


class Stopped(Exception):
    """The user stopped the work; whatever does it leaves nothing behind."""


class LongWork(QObject):
    """One work at a time. ``busy_changed`` is sent when it begins and when it ends."""

    _moved = Signal(int, int)
    busy_changed = Signal()

    def __init__(self, context: Context, notes: NotePlace, parent: QObject) -> None:
        super().__init__(parent)
        self._context, self._notes = context, notes
        self._stop = threading.Event()
        self._words = ""
        self.busy = False
        self._moved.connect(self._show_moved)

    def _begin(self, words: str) -> Progress:
        self._stop, self._words, self.busy = threading.Event(), words, True
        stop_button = Button(self._context.theme, _("Stop"), "plain", "x")
        stop_button.clicked.connect(self.stop)
        self._notes.put(Note(self._context.theme, "clock", "info", words, "", [stop_button], 0.0))
        self.busy_changed.emit()
        stopped = self._stop
        shown = -1

        def progress(done: int, of: int) -> None:
            nonlocal shown
            if stopped.is_set():
                raise Cancelled
            share = done * 100 // max(of, 1)
            if share != shown and shiboken6.isValid(self):
                shown = share
                self._moved.emit(done, of)

        return progress

    def _show_moved(self, done: int, of: int) -> None:
        if self.busy and self._notes.note is not None:
            self._notes.note.say(self._words, _("{done} of {of}").format(done=done, of=of), done / max(of, 1))

    def stop(self) -> None:
        """Asks the work to stop; it says so itself when it did."""
        self._stop.set()

    def run(
        self, words: str, lane: Lane, work: CrateWork[T], done: Callable[[T], None],
        failed: Callable[[Exception], None] | None = None,
    ) -> None:  # fmt: skip
        """Runs work that changes no case."""
        progress = self._begin(words)

        def job(session: "Session", _control: object) -> T:
            return _stoppable(lambda: work(session.crate(), progress))

        self._context.book.run(lane, self, job, lambda result: self._done(result, done), self._fails(failed))

    def change(self, words: str, work: CrateWork[tuple[ChangeSet, T]], done: Callable[[T], None],
               failed: Callable[[Exception], None] | None = None) -> None:  # fmt: skip
        """Runs work that changes cases; every screen is told of it."""
        progress = self._begin(words)
        kept: list[T] = []

        def job(session: "Session") -> ChangeSet:
            changes, result = _stoppable(lambda: work(session.crate(), progress))
            kept.append(result)
            return changes

        self._context.book.change(self, job, lambda _changes: self._done(kept[0], done), self._fails(failed))

    def _end(self) -> None:
        self.busy = False
        self._notes.put(None)
        self.busy_changed.emit()

    def _done(self, result: T, done: Callable[[T], None]) -> None:
        self._end()
        done(result)

    def _fails(self, failed: Callable[[Exception], None] | None) -> Callable[[Exception], None]:
        def fail(error: Exception) -> None:
            self._end()
            if isinstance(error, Stopped):
                close = Button(self._context.theme, _("Close this note"), "quiet")
                close.clicked.connect(lambda: self._notes.put(None))
                self._notes.put(
                    Note(self._context.theme, "info", "plain", _("Stopped."), _("Nothing was written."), [close])
                )
            elif failed is not None:
                failed(error)
            else:
                self._context.presenter.show(error, self._notes)

        return fail


def _stoppable(work: Callable[[], T]) -> T:
    try:
        return work()
    except Cancelled:
        raise Stopped from None
