"""The line that finds earlier visits: plate, VIN or phone, typed or read by a barcode scanner."""

from typing import Final

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _

TYPING_MS: Final = 250
SHORTEST: Final = 3
"""Fewer characters than a plate has find nothing."""


class VisitBar(Painted):
    """``wanted`` is sent with what to find a moment after the last key, and at once on Enter; blank: nothing any more.

    A scanner types like a keyboard and ends with Enter, so it needs nothing but the focus here.
    """

    wanted = Signal(str)

    def __init__(self, theme: Theme) -> None:
        self.edit = ValueEdit(theme, _("Plate, VIN or phone"))
        self.edit.setPlaceholderText(_("Was it here before? Plate, VIN or phone"))
        self.clear_button = Button(theme, _("Back to the Bench"), "quiet", "x")
        self._row = QHBoxLayout()
        super().__init__(theme)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(TYPING_MS)
        self._timer.timeout.connect(self._send)
        self._row.addWidget(self.edit, 1)
        self._row.addWidget(self.clear_button)
        self._row.setSpacing(8)
        self.setLayout(self._row)
        self.edit.textEdited.connect(self._typed)
        self.edit.returnPressed.connect(self._send)
        self.clear_button.clicked.connect(self.clear)
        self.clear_button.hide()
        self.relook()

    def relook(self) -> None:
        """Takes over the margins."""
        pad = self.look.metrics.pad
        self._row.setContentsMargins(pad + 4, 6, pad, 6)

    def _typed(self, text: str) -> None:
        self._timer.start()
        if not text.strip():
            self._send()

    def _send(self) -> None:
        self._timer.stop()
        text = self.edit.text().strip()
        self.clear_button.setVisible(bool(text))
        self.wanted.emit(text if len(text) >= SHORTEST else "")

    def clear(self) -> None:
        """Empties the line: the Bench comes back."""
        self.edit.clear()
        self._send()

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the page behind."""
        ink.fill(0, 0, width, height, "page")
        ink.across(0, width, height - 1)
