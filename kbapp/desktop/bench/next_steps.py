"""Works out what is next on each open case, one after the other on a worker, and only while someone looks."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.preferences import Preferences
from kbapp.desktop.tasks import Job

if TYPE_CHECKING:
    from kbapp.app.next_step import NextStep

Case = tuple[str, int]
"""A case's id and the revision it was looked at."""


class NextSteps(QObject):
    """Keeps what was worked out by revision. ``found`` is sent with the id of a case as soon as its step is known."""

    found = Signal(str)
    failed = Signal(object)

    def __init__(self, book: OpenBook, preferences: Preferences, parent: QObject) -> None:
        super().__init__(parent)
        self._book, self._preferences = book, preferences
        self._known: dict[Case, NextStep] = {}
        self._waiting: list[Case] = []
        self._job: Job[NextStep] | None = None
        preferences.changed.connect(self.forget)

    def forget(self) -> None:
        """Forgets what was worked out: it was by other settings or other kit."""
        self._known.clear()

    def known(self, wanted: Sequence[Case]) -> "Mapping[str, NextStep]":
        """Returns the steps known of cases at their revisions."""
        return {case[0]: self._known[case] for case in wanted if case in self._known}

    def work_out(self, wanted: Sequence[Case]) -> None:
        """Works out the steps of these cases and of no others; what is known of others is dropped."""
        kept = set(wanted)
        self._known = {case: step for case, step in self._known.items() if case in kept}
        self._waiting = [case for case in wanted if case not in self._known]
        self._go_on()

    def pause(self) -> None:
        """Starts no further case."""
        self._waiting = []

    def _go_on(self) -> None:
        if self._job is not None or not self._waiting or self._book.state != "open":
            return
        case, settings = self._waiting.pop(0), self._preferences.now

        def done(step: "NextStep") -> None:
            self._job = None
            self._known[case] = step
            self.found.emit(case[0])
            self._go_on()

        def failed(error: Exception) -> None:
            self._job = None
            self.failed.emit(error)
            self._go_on()

        self._job = self._book.run(
            "read", self, lambda session, _control: session.next_step(case[0], settings), done, failed
        )
