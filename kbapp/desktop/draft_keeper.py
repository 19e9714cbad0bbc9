"""Keeps running text as a draft within a second, and finds drafts of before that no window is writing."""

import uuid

from PySide6.QtCore import QObject, QTimer, Signal

from kbapp.desktop.open_book import OpenBook

KEEP_MS = 400


class DraftKeeper(QObject):
    """One draft of one window. ``kept`` is sent when it is on the disk, ``found`` with drafts of before (key, text)."""

    kept = Signal()
    failed = Signal(object)
    found = Signal(object)

    def __init__(self, book: OpenBook, prefix: str, parent: QObject) -> None:
        super().__init__(parent)
        self._book, self._prefix = book, prefix
        self._text, self._pending = "", False
        self.key = ""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(KEEP_MS)
        self._timer.timeout.connect(self.flush)

    def begin(self, key: str = "") -> None:
        """Writes another draft from now on."""
        self.flush()
        self._book.claimed.discard(self.key)
        self.key = self._prefix + (key or uuid.uuid4().hex)
        self._book.claimed.add(self.key)
        self._text, self._pending = "", False

    def write(self, text: str) -> None:
        """Notes what is written; it is kept a moment later. Blank: there is nothing to keep."""
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
        if not text:
            self.throw_away(key)
            return
        self._book.run(
            "draft", self, lambda session, _control: session.drafts().keep(key, text), lambda _d: self.kept.emit(),
            self.failed.emit,
        )  # fmt: skip

    def search(self) -> None:
        """Looks for drafts that no window is writing."""
        prefix = self._prefix

        def done(found: list[tuple[str, str]]) -> None:
            free = [(key, text) for key, text in found if key not in self._book.claimed]
            if free:
                self.found.emit(free)

        self._book.run(
            "draft",
            self,
            lambda session, _control: [(d.key, d.text) for d in session.drafts().all() if d.key.startswith(prefix)],
            done,
            self.failed.emit,
        )

    def take_up(self, key: str, text: str) -> None:
        """Goes on with a draft of before."""
        self.begin(key.removeprefix(self._prefix))
        self._text = text

    def throw_away(self, key: str) -> None:
        """Drops a draft."""
        self._book.run("draft", self, lambda session, _control: session.drafts().drop(key), None, self.failed.emit)

    def recorded(self) -> None:
        """Forgets the draft: what it held is in the book now."""
        self._timer.stop()
        self._pending, self._text = False, ""
        self.throw_away(self.key)

    def leave(self) -> None:
        """Keeps what is pending and lets another window have the draft."""
        self.flush()
        self._book.claimed.discard(self.key)
