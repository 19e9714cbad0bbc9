"""Keeps what is typed into a form as a draft within a second, and finds what a crash or an interruption left."""

import json
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from kbapp.desktop.open_book import OpenBook

PREFIX: Final = "board:"
KEEP_MS: Final = 350


def draft_key(case_id: str, kind: str) -> str:
    """Returns the key of the draft of one form of one case."""
    return f"{PREFIX}{case_id}:{kind}"


class BoardDrafts(QObject):
    """The drafts of the case in hand. ``found`` is sent with (kind, values) of a draft of before."""

    kept = Signal()
    failed = Signal(object)
    found = Signal(str, object)

    def __init__(self, book: OpenBook, parent: QObject) -> None:
        super().__init__(parent)
        self._book = book
        self._pending: dict[str, str] = {}
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(KEEP_MS)
        self._timer.timeout.connect(self.flush)

    def write(self, case_id: str, kind: str, values: dict[str, object]) -> None:
        """Notes what is typed; it is kept a moment later. Nothing typed forgets the draft."""
        self._pending[draft_key(case_id, kind)] = json.dumps(values, ensure_ascii=False) if values else ""
        if not self._timer.isActive():
            self._timer.start()

    def drop(self, case_id: str, kind: str) -> None:
        """Forgets a draft: what it held is recorded, or thrown away."""
        self._pending[draft_key(case_id, kind)] = ""
        self.flush()

    def flush(self) -> None:
        """Keeps what is pending now."""
        self._timer.stop()
        if self._book.state != "open":
            return
        pending, self._pending = self._pending, {}
        for key, text in pending.items():
            self._keep(key, text)

    def _keep(self, key: str, text: str) -> None:
        if text:
            self._book.run(
                "draft", self, lambda session, _control: session.drafts().keep(key, text),
                lambda _draft: self.kept.emit(), self.failed.emit,
            )  # fmt: skip
        else:
            self._book.run("draft", self, lambda session, _control: session.drafts().drop(key), None, self.failed.emit)

    def search(self, case_id: str) -> None:
        """Looks for a draft that was left behind in a case."""
        start = draft_key(case_id, "")

        def done(found: list[tuple[str, str]]) -> None:
            for key, text in found:
                try:
                    values = json.loads(text)
                except ValueError:
                    continue
                if isinstance(values, dict) and values:
                    self.found.emit(key.removeprefix(start), values)
                    return

        self._book.run(
            "draft", self,
            lambda session, _control: [(d.key, d.text) for d in session.drafts().all() if d.key.startswith(start)],
            done, self.failed.emit,
        )  # fmt: skip
