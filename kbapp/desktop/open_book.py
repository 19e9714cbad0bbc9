"""The open book as the windows see it: opened on a worker, followed by polling, changes told to every screen."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal, TypeVar

from PySide6.QtCore import QObject, QTimer, Signal

from kbapp.desktop.tasks import Control, Job, Lane, Tasks

if (
    TYPE_CHECKING
):  # the session brings database and index with it: imported on the worker, so that the window comes first
    from kbapp.app.session import Session
    from kbapp.app.views import BookInfo, ChangeSet, IndexState

T = TypeVar("T")
FOLLOW_MS = 1_500
INDEX_MS = 400
State = Literal["closed", "opening", "open", "failed"]


class OpenBook(QObject):
    """One session for all windows of the program."""

    opening = Signal()
    opened = Signal()
    failed = Signal(object)
    changed = Signal(object)
    """A ChangeSet: what this program or another one saved."""
    leaving = Signal()
    """Another book takes the place of this one: what screens hold of it is to be brought into safety now."""
    replaced = Signal()
    """The other book is open."""
    index_moved = Signal(object)
    """An IndexState, while the index is being built and once when it is ready."""
    counted = Signal(int)

    def __init__(self, tasks: Tasks, location: str, author: str = "", parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.location = location
        self.state: State = "closed"
        self.cases = 0
        self.claimed: set[str] = set()
        """Keys of the drafts that windows of this program are writing."""
        self._tasks, self._author = tasks, author
        self._session: Session | None = None
        self._made: list[Session] = []
        self._index: IndexState | None = None
        self._following: Job[ChangeSet | None] | None = None
        self._follow_timer = QTimer(self)
        self._follow_timer.setInterval(FOLLOW_MS)
        self._follow_timer.timeout.connect(self._follow)
        self._index_timer = QTimer(self)
        self._index_timer.setInterval(INDEX_MS)
        self._index_timer.timeout.connect(self._look_at_index)

    @property
    def info(self) -> "BookInfo | None":
        """What the book is, once it is open."""
        return self._session.info if self._session is not None else None

    @property
    def index(self) -> "IndexState | None":
        """How the index stands, as last seen."""
        return self._index

    def open(self) -> None:
        """Starts opening the book on the worker."""
        if self.state in ("opening", "open"):
            return
        self.state = "opening"
        self.opening.emit()

        def work(_control: Control) -> "Session":
            from kbapp.app.session import Session

            session = Session.open(self.location, author=self._author)
            self._made.append(session)
            return session

        self._tasks.run("change", self, work, self._opened, self._failed)

    def _opened(self, session: "Session") -> None:
        self._session = session
        self.state = "open"
        self.opened.emit()
        self._begin()

    def _begin(self) -> None:
        self._follow_timer.setInterval(FOLLOW_MS)
        self._index_timer.setInterval(INDEX_MS)
        self._follow_timer.start()
        self._index_timer.start()
        self._look_at_index()
        self._recount()

    def _failed(self, error: Exception) -> None:
        self.state = "failed"
        self.failed.emit(error)

    def switch(
        self,
        location: str,
        done: Callable[[], None],
        failed: Callable[[Exception], None],
        make: "Callable[[str, str], Session] | None" = None,
    ) -> None:
        """Opens another book in place of this one, which stays open where the other cannot be opened.

        ``make(location, author)`` may open it in a way of its own, such as making it first.
        """
        author = self._author

        def work(_control: Control) -> "Session":
            from kbapp.app.session import Session

            session = make(location, author) if make is not None else Session.open(location, author=author)
            self._made.append(session)
            return session

        def opened(session: "Session") -> None:
            self._replace(session, location)
            done()

        self._tasks.run("change", self, work, opened, failed)

    def _replace(self, session: "Session", location: str) -> None:
        self.leaving.emit()
        before, self._session = self._session, session
        self.location, self.cases, self._index = location, 0, None
        self.claimed.clear()
        self._following = None
        self.state = "open"
        if before is not None:
            self._close_behind(before)
        self.replaced.emit()
        self._begin()

    def _close_behind(self, session: "Session") -> None:
        # drafts and changes of the screens that were left come first; both lanes are served one by one
        def close(_control: Control) -> None:
            self._made.remove(session)
            session.close()

        def behind(_none: None) -> None:
            self._tasks.run("draft", self, close)

        self._tasks.run("change", self, lambda _control: None, behind)

    def sign_as(self, author: str) -> None:
        """Changes who is at the keyboard."""
        self._author = author
        if self._session is not None:
            self._session.sign_as(author)
            self.counted.emit(self.cases)

    def renamed(self) -> None:
        """Tells that the book or its shop has another name."""
        self.counted.emit(self.cases)

    def run(
        self,
        lane: Lane,
        owner: QObject,
        work: Callable[["Session", Control], T],
        done: Callable[[T], None] | None = None,
        failed: Callable[[Exception], None] | None = None,
    ) -> Job[T]:
        """Runs work on the session in a lane; the book must be open."""
        return self._tasks.run(lane, owner, self.bound(work), done, failed)

    def bound(self, work: Callable[["Session", Control], T]) -> Callable[[Control], T]:
        """Returns work for a lane out of work on the session."""
        session = self._session
        if session is None:
            raise RuntimeError("the book is not open")
        return lambda control: work(session, control)

    def change(
        self,
        owner: QObject,
        work: Callable[["Session"], "ChangeSet"],
        done: Callable[["ChangeSet"], None] | None = None,
        failed: Callable[[Exception], None] | None = None,
    ) -> "Job[ChangeSet]":
        """Runs a change of the book and tells every screen what it touched."""

        def tell(changes: "ChangeSet") -> None:
            if done is not None:
                done(changes)
            self._tell(changes)

        return self.run("change", owner, lambda session, _control: work(session), tell, failed)

    def _tell(self, changes: "ChangeSet | None") -> None:
        self._following = None
        if changes is not None:
            self.changed.emit(changes)
            self._recount()

    def _recount(self) -> None:
        asked = self._session

        def done(count: int) -> None:
            if asked is self._session:
                self.cases = count
                self.counted.emit(count)

        self.run("read", self, lambda session, _control: session.count(), done)

    def _follow(self) -> None:
        if self._following is None:
            self._following = self.run(
                "read", self, lambda session, _control: session.follow(), self._tell, self._follow_failed
            )

    def _follow_failed(self, error: Exception) -> None:
        # a server out of reach is told once; looking and jotting say so themselves when they are tried
        self._following = None
        self._follow_timer.setInterval(FOLLOW_MS * 5)

    def _look_at_index(self) -> None:
        asked = self._session

        def done(state: "IndexState") -> None:
            if asked is not self._session:
                return
            moved, self._index = state != self._index, state
            if state.ready:
                self._index_timer.setInterval(INDEX_MS * 25)
            else:
                self._index_timer.setInterval(INDEX_MS)
            if moved:
                self.index_moved.emit(state)

        self.run("read", self, lambda session, _control: session.index_state(), done)

    def close(self) -> None:
        """Ends following, lets what was started end, and closes the session."""
        self._follow_timer.stop()
        self._index_timer.stop()
        self._session = None
        self.state = "closed"
        self._tasks.close(self._close_sessions)

    def _close_sessions(self) -> None:
        # also one that was opened while the program was already being left
        for session in self._made:
            session.close()
        self._made.clear()
