"""Keeps the index of one book on this PC: opens it, follows the change feed, rebuilds it aside when need be."""

import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

from kbapp.app.source import BookSource
from kbapp.app.text_answer import text_answer
from kbapp.app.views import IndexState
from kbapp.errors import DamageError, KbError
from kbapp.lookup.index import CaseIndex
from kbapp.lookup.question import Answer, Question
from kbapp.store.book import Book

BATCH = 500
SMALL_BOOK = 3_000
"""Up to so many cases a command builds the index while it is waited for (a few seconds)."""
PATIENCE = 1.0
"""Seconds a question waits for what this session saved itself."""


class IndexKeeper:
    """Answers from the index, or from the database while there is none. Every method may be called from any thread."""

    def __init__(self, book: Book, location: str, folder: Path) -> None:
        self._book, self._location, self._folder = book, location, folder
        self._source = BookSource(book)
        self._index: CaseIndex | None = None
        self._lock = threading.Lock()
        self._caught_up = threading.Condition()
        self._wanted = 0
        self._wake = threading.Event()
        self._closing = False
        self._rebuild: subprocess.Popen[str] | None = None
        self._rebuilt_once = False
        self._progress = (0, 0)
        self._thread: threading.Thread | None = None

    def open(self) -> bool:
        """Opens the index on disk and returns whether it can be used."""
        with self._lock:
            return self._open()

    def _open(self) -> bool:
        try:
            self._index = CaseIndex.open(self._folder, self._source.incarnation)
        except KbError:
            self._index = None
        return self._index is not None

    def start(self) -> None:
        """Starts the thread that follows the book, rebuilding first where there is no usable index."""
        self._thread = threading.Thread(target=self._work, name="index-follower", daemon=True)
        self._thread.start()

    def state(self) -> IndexState:
        """Returns whether questions are answered from the index, and how far a rebuild is."""
        done, of = self._progress
        return IndexState(self._index is not None, done, of)

    def follow(self, change: int) -> None:
        """Tells the follower that the book stands at ``change``; a question soon after waits for it."""
        self._wanted = max(self._wanted, change)
        self._wake.set()

    def catch_up(self) -> None:
        """Brings the index up to the book's last change, on the calling thread.

        Raises:
            DamageError: the index is damaged; it is dropped and will be rebuilt.
        """
        with self._lock:
            self._catch_up()
        with self._caught_up:
            self._caught_up.notify_all()

    def _catch_up(self) -> None:
        if self._index is None:
            return
        try:
            while cases := self._source.changed_since(self._index.change, BATCH):
                self._index.apply(cases)
                if self._closing:
                    return
        except DamageError:
            self._drop()
            raise

    def _tidy(self) -> None:
        """Merges the index's small segments after the questions that waited for a save were let go."""
        with self._lock:
            try:
                if self._index is not None and not self._closing:
                    self._index.tidy()
            except DamageError:
                self._drop()

    def _drop(self) -> None:
        index, self._index = self._index, None
        if index:
            index.close()

    def ask(self, question: Question, stop: Callable[[], bool]) -> Answer:
        """Returns the answer from the index, or from the database while there is no index."""
        self._wait_for_own_changes(stop)
        index = self._index
        if index is not None:
            try:
                return index.ask(question, stop)
            except DamageError:
                with self._lock:
                    if self._index is index:
                        self._drop()
                self._wake.set()
        return text_answer(self._book, question)

    def _wait_for_own_changes(self, stop: Callable[[], bool]) -> None:
        if self._thread is None:
            return

        def ready() -> bool:
            return self._index is None or self._index.change >= self._wanted or stop()

        with self._caught_up:
            self._caught_up.wait_for(ready, timeout=PATIENCE)

    def build_here(self, progress: Callable[[int, int], None], stop: Callable[[], bool]) -> None:
        """Builds the index anew on the calling thread and opens it."""
        with self._lock:
            self._drop()
            CaseIndex.build(self._folder, self._source, progress, stop)
            self._open()

    def _work(self) -> None:
        while not self._closing:
            try:
                if self._index is None:
                    self._rebuild_aside()
                self.catch_up()
                self._tidy()
            except KbError:
                # a lost server or a full disk: the next change, question or a later wake tries again
                self._wake.wait(2.0)
            self._wake.wait(60.0 if self._index else 5.0)
            self._wake.clear()

    def _rebuild_aside(self) -> None:
        command = [sys.executable, "-m", "kbapp.app.rebuild", str(self._folder)]
        with subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        ) as process:
            self._rebuild = process
            if process.stdin:
                process.stdin.write(self._location + "\n")
                process.stdin.close()
            for line in process.stdout or ():
                done, _, of = line.partition(" ")
                self._progress = (int(done), int(of))
                if self._closing:
                    process.terminate()
        self._rebuild = None
        if not self._closing:
            self.open()

    def close(self) -> None:
        """Stops following and closes the index."""
        self._closing = True
        self._wake.set()
        process = self._rebuild
        if process is not None:
            process.terminate()
        if self._thread is not None:
            self._thread.join(timeout=30)
        with self._lock:
            self._drop()
