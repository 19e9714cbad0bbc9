"""Keeps the running text of a jot as a draft within a second, and finds the drafts of before."""

import uuid

from PySide6.QtCore import QObject, QTimer, Signal

from kbapp.desktop.jot.lines import PREFIX, JotText
from kbapp.desktop.open_book import OpenBook

KEEP_MS = 400


class JotDrafts(QObject):
    """One draft of one window. ``kept`` is sent when it is on the disk, ``found`` with drafts of before (key, text)."""

    kept = Signal()
    failed = Signal(object)
    found = Signal(object)

    def __init__(self, book: OpenBook, parent: QObject) -> None:
        super().__init__(parent)
        self._book = book
        self._text = JotText()
        self._pending = False
        self.key = ""
        self._take(PREFIX + uuid.uuid4().hex)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(KEEP_MS)
        self._timer.timeout.connect(self.flush)

    def _take(self, key: str) -> None:
        self._book.claimed.discard(self.key)
        self.key = key
        self._book.claimed.add(key)

    def write(self, text: JotText) -> None:
        """Notes what is written; it is kept a moment later."""
        if text != self._text:
            self._text, self._pending = text, True
            if not self._timer.isActive():
                self._timer.start()

    def flush(self) -> None:
        """Keeps what is pending now."""
        self._timer.stop()
        if not self._pending or self._book.state != "open":
            return
        self._pending = False
        text, key = self._text, self.key
        if text.blank:
            self._book.run("draft", self, lambda session, _control: session.drafts().drop(key), None, self.failed.emit)
            return
        draft = text.to_draft()
        self._book.run(
            "draft", self, lambda session, _control: session.drafts().keep(key, draft), lambda _d: self.kept.emit(),
            self.failed.emit,
        )  # fmt: skip

    def search(self) -> None:
        """Looks for drafts that no window is writing."""

        def done(found: list[tuple[str, str]]) -> None:
            free = [(key, text) for key, text in found if key not in self._book.claimed]
            if free:
                self.found.emit(free)

        self._book.run(
            "draft",
            self,
            lambda session, _control: [(d.key, d.text) for d in session.drafts().all() if d.key.startswith(PREFIX)],
            done,
            self.failed.emit,
        )

    def take_up(self, key: str, text: JotText) -> None:
        """Goes on with a draft of before."""
        self._take(key)
        self._text, self._pending = text, False

    def throw_away(self, key: str) -> None:
        """Drops a draft of before."""
        self._book.run("draft", self, lambda session, _control: session.drafts().drop(key), None, self.failed.emit)

    def recorded(self) -> None:
        """Forgets the draft: what it held is in the book now."""
        self._timer.stop()
        self._pending, self._text = False, JotText()
        self.throw_away(self.key)
        self._take(PREFIX + uuid.uuid4().hex)

    def leave(self) -> None:
        """Keeps what is pending and lets another window have the draft."""
        self.flush()
        self._book.claimed.discard(self.key)
