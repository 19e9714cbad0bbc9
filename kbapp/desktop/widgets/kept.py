"""The mark of what is safe: "Recorded 10:42" for an entry, "Draft kept 10:42" for running text."""

from datetime import datetime
from typing import Literal

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QSizePolicy

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _


class KeptMark(Painted):
    """A tick with a word and the time; empty until something was kept."""

    def __init__(self, theme: Theme) -> None:
        self._text = ""
        super().__init__(theme)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.hide()

    def text(self) -> str:
        """Returns what the mark says."""
        return self._text

    def say(self, what: Literal["recorded", "draft"], at: datetime | None = None) -> None:
        """Says that something was recorded or kept as a draft, now or at a time."""
        clock = (at or datetime.now().astimezone()).strftime("%H:%M")
        words = _("Recorded {time}") if what == "recorded" else _("Draft kept {time}")
        self._text = words.format(time=clock)
        self.setAccessibleName(self._text)
        self.updateGeometry()
        self.show()
        self.update()

    def clear(self) -> None:
        """Takes the mark away."""
        self._text = ""
        self.hide()

    def relook(self) -> None:
        """Takes over the font."""
        self._font = self.look.font("small", 500, figures=True)
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Returns room for tick and words."""
        metrics = self.look.metrics
        width = self.look.measure(self._font).horizontalAdvance(self._text) + metrics.icon + 16
        return QSize(round(width), metrics.row - 8)

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints tick and words."""
        side = self.look.metrics.icon * 0.9
        ink.icon(2, height / 2, "tick", "good", side, 2.2)
        ink.text(self.look.metrics.icon + 6, 0, self._text, self._font, "ink2", height=height)
