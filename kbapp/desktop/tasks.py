"""Work off the GUI thread: one lane for changes of the book, one for drafts, a pool for reads.

Work runs in plain threads; what it returns, raises or reports comes back on the GUI thread by a queued signal.
"""

import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, Generic, Literal, TypeVar

import shiboken6
from PySide6.QtCore import QObject, Qt, Signal, Slot

from kbapp.errors import Cancelled

T = TypeVar("T")
Lane = Literal["change", "draft", "read"]
_WORKERS: dict[Lane, int] = {"change": 1, "draft": 1, "read": 3}


class Control:
    """What a running work is given: whether to stop, and where to report progress."""

    def __init__(self, report: Callable[[int, int], None]) -> None:
        self._stop = threading.Event()
        self._report = report

    def stop(self) -> None:
        """Asks the work to stop."""
        self._stop.set()

    def stopped(self) -> bool:
        """Returns whether to stop."""
        return self._stop.is_set()

    def progress(self, done: int, of: int) -> None:
        """Reports how far the work is; may be called from its thread."""
        self._report(done, of)


Work = Callable[[Control], T]


@dataclass(frozen=True, slots=True)
class _News:
    """What comes back to the GUI thread about a job: how far it is, or (``final``) its end."""

    job: "Job[Any]"
    done: int = 0
    of: int = 0
    result: object = None
    error: Exception | None = None
    final: bool = False


class Job(Generic[T]):
    """One piece of work under way. Its answers go to ``owner``: once that is deleted, nobody is called."""

    def __init__(
        self,
        owner: QObject,
        done: Callable[[T], None] | None,
        failed: Callable[[Exception], None] | None,
        moved: Callable[[int, int], None] | None,
        send: Callable[[_News], None],
    ) -> None:
        self._owner, self._done, self._failed, self._moved = owner, done, failed, moved
        self.control = Control(lambda done, of: send(_News(self, done, of)))
        self.finished = False

    def cancel(self) -> None:
        """Asks the work to stop and forgets its result."""
        self.control.stop()

    def take(self, news: _News) -> None:
        """Passes news on to the owner, on the GUI thread."""
        if news.final:
            self.finished = True
        if self.control.stopped() or not shiboken6.isValid(self._owner):
            return
        if not news.final:
            if self._moved:
                self._moved(news.done, news.of)
        elif news.error is None:
            if self._done:
                self._done(news.result)  # type: ignore[arg-type]
        elif self._failed and not isinstance(news.error, Cancelled):
            self._failed(news.error)


class Tasks(QObject):
    """Runs work in lanes; ``close`` stops what runs and waits for it."""

    _arrived = Signal(object)
    unhandled = Signal(object)
    """An error nobody asked for (no ``failed`` was given)."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._lanes = {
            lane: ThreadPoolExecutor(workers, thread_name_prefix=f"provebook-{lane}")
            for lane, workers in _WORKERS.items()
        }
        self._running: set[Job[Any]] = set()
        self._closed = False
        self._arrived.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    def run(
        self,
        lane: Lane,
        owner: QObject,
        work: Work[T],
        done: Callable[[T], None] | None = None,
        failed: Callable[[Exception], None] | None = None,
        moved: Callable[[int, int], None] | None = None,
    ) -> Job[T]:
        """Starts work in a lane. ``done``, ``failed`` and ``moved`` are called on the GUI thread."""
        job: Job[T] = Job(owner, done, failed or self.unhandled.emit, moved, self._send)
        if self._closed:
            job.finished = True
            return job
        self._running.add(job)
        future = self._lanes[lane].submit(work, job.control)
        future.add_done_callback(lambda ended: self._ended(job, ended))
        return job

    def _ended(self, job: Job[Any], future: "Future[Any]") -> None:
        if future.cancelled():
            self._send(_News(job, error=Cancelled(), final=True))
            return
        error = future.exception()
        if error is not None and not isinstance(error, Exception):
            error = RuntimeError(repr(error))
        self._send(_News(job, result=None if error else future.result(), error=error, final=True))

    def _send(self, news: _News) -> None:
        if shiboken6.isValid(self):
            self._arrived.emit(news)

    @Slot(object)
    def _deliver(self, news: _News) -> None:
        if news.final:
            self._running.discard(news.job)
        if not self._closed:
            news.job.take(news)

    @property
    def busy(self) -> int:
        """How many jobs are under way."""
        return len(self._running)

    def close(self, last: Callable[[], None] | None = None) -> None:
        """Stops reads, lets changes and drafts end, runs ``last`` behind them, and waits for all of it."""
        if self._closed:
            return
        self._closed = True
        for job in self._running:
            job.cancel()
        self._lanes["read"].shutdown(wait=True, cancel_futures=True)
        self._lanes["draft"].shutdown(wait=True)
        self._lanes["change"].shutdown(wait=True)
        if last is not None:
            last()
        self._running.clear()


class Latest:
    """Keeps only the newest of a kind of read: asking again cancels the one before."""

    def __init__(self, tasks: Tasks, owner: QObject) -> None:
        self._tasks, self._owner = tasks, owner
        self._job: Job[Any] | None = None

    def ask(
        self,
        work: Work[T],
        done: Callable[[T], None],
        failed: Callable[[Exception], None] | None = None,
    ) -> None:
        """Starts a read and drops the one before."""
        self.cancel()
        self._job = self._tasks.run("read", self._owner, work, done, failed)

    def cancel(self) -> None:
        """Drops the read under way."""
        if self._job is not None:
            self._job.cancel()
            self._job = None

    @property
    def waiting(self) -> bool:
        """Whether an answer is still to come."""
        return self._job is not None and not self._job.finished
