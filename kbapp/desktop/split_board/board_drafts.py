"""Keeps what is typed into a form as a draft within a second, and finds what a crash or an interruption left."""

import json
import uuid
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from kbapp.desktop.open_book import OpenBook

PREFIX: Final = "board:"
KEEP_MS: Final = 200


class BoardDrafts(QObject):
    """The drafts of the case in hand, one a kind of form. ``found`` is sent with (key, kind, values) of an older."""

    kept = Signal()
    failed = Signal(object)
    found = Signal(str, str, object)

    def __init__(self, book: OpenBook, parent: QObject) -> None:
        super().__init__(parent)
        self._book = book
        self._keys: dict[tuple[str, str], str] = {}
        self._pending: dict[str, str] = {}
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(KEEP_MS)
        self._timer.timeout.connect(self.flush)

    def write(self, case_id: str, kind: str, values: dict[str, object]) -> None:
        """Notes what is typed; it is kept a moment later. Nothing typed forgets the draft."""
        if not values:
            self.drop(case_id, kind)
            return
        key = self._keys.get((case_id, kind))
        if key is None:
            key = f"{PREFIX}{case_id}:{kind}:{uuid.uuid4().hex}"
            self.take_up(case_id, kind, key)
        self._pending[key] = json.dumps(values, ensure_ascii=False)
        if not self._timer.isActive():
            self._timer.start()

    def take_up(self, case_id: str, kind: str, key: str) -> None:
        """Goes on with a draft of before."""
        self._keys[case_id, kind] = key
        self._book.claimed.add(key)

    def drop(self, case_id: str, kind: str) -> None:
        """Forgets the draft of a form: what it held is recorded, or taken back. One of before stays."""
        key = self._keys.pop((case_id, kind), None)
        if key is not None:
            self.throw_away(key)

    def throw_away(self, key: str) -> None:
        """Forgets a draft of before."""
        self._pending.pop(key, None)
        self._book.claimed.discard(key)
        if self._book.state == "open":
            self._book.run("draft", self, lambda session, _control: session.drafts().drop(key), None, self.failed.emit)

    def flush(self) -> None:
        """Keeps what is pending now."""
        self._timer.stop()
        if self._book.state != "open":
            return
        pending, self._pending = self._pending, {}
        for key, text in pending.items():
            self._keep(key, text)

    def _keep(self, key: str, text: str) -> None:
        self._book.run(
            "draft", self, lambda session, _control: session.drafts().keep(key, text),
            lambda _draft: self.kept.emit(), self.failed.emit,
        )  # fmt: skip

    def leave(self) -> None:
        """Keeps what is pending and lets another window have the drafts."""
        self.flush()
        self._book.claimed.difference_update(self._keys.values())
        self._keys.clear()

    def search(self, case_id: str) -> None:
        """Looks for a draft of a case that no window is writing."""
        start = f"{PREFIX}{case_id}:"

        def done(drafts: list[tuple[str, str]]) -> None:
            for key, text in drafts:
                values = _values(text)
                if values and key not in self._book.claimed:
                    self.found.emit(key, key.removeprefix(start).partition(":")[0], values)
                    return

        self._book.run(
            "draft", self,
            lambda session, _control: [(d.key, d.text) for d in session.drafts().all() if d.key.startswith(start)],
            done, self.failed.emit,
        )  # fmt: skip


def _values(text: str) -> dict[str, object]:
    try:
        values = json.loads(text)
    except ValueError:
        return {}
    return values if isinstance(values, dict) else {}
