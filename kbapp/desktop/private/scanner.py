"""Tells a barcode scanner from a person: it writes seventeen characters in a blink, then Enter."""

import time
from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from kbapp.records.vin import LENGTH, read_vin

MOST_BETWEEN = 0.06
"""Seconds between two keys of a scanner, at most; common practice, people need twice as long and more."""


class Scanner(QObject):
    """Watches the fields of a page. A VIN that is scanned into another field is handed over to ``scanned`` instead."""

    def __init__(self, page: QWidget, own: QLineEdit, scanned: Callable[[str], None]) -> None:
        super().__init__(page)
        self._page, self._own, self._scanned = page, own, scanned
        self._typed, self._last = "", 0.0
        app = QApplication.instance()
        if app is not None:
            app.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Reads keys that go to a field of the page; a scan ends with Enter, which then goes no further."""
        if event.type() != QEvent.Type.KeyPress or not isinstance(event, QKeyEvent) or not isinstance(watched, QWidget):
            return False
        if watched is self._own or not self._page.isVisible() or not self._page.isAncestorOf(watched):
            return False
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            typed, self._typed = self._typed, ""
            return self._ended(watched, typed)
        self._note(event.text())
        return False

    def _note(self, text: str) -> None:
        now = time.monotonic()
        if now - self._last > MOST_BETWEEN:
            self._typed = ""
        self._last = now
        if text.isprintable():
            self._typed += text

    def _ended(self, watched: QWidget, typed: str) -> bool:
        if time.monotonic() - self._last > MOST_BETWEEN:
            return False
        found = next((tail for tail in (typed[-LENGTH - 1 :], typed[-LENGTH:]) if read_vin(tail).value), "")
        if not found:
            return False
        _take_out(watched, found)
        self._scanned(found)
        return True


def _take_out(field: QWidget, text: str) -> None:
    if isinstance(field, QLineEdit):
        field.setText(field.text().removesuffix(text))
        return
    plain, put = getattr(field, "toPlainText", None), getattr(field, "setPlainText", None)
    if callable(plain) and callable(put):
        put(str(plain()).removesuffix(text))
