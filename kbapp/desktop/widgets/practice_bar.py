"""The striped bar above everything while the practice book is open; it cannot be hidden."""

from PySide6.QtCore import QPointF, QSize
from PySide6.QtGui import QPen
from PySide6.QtWidgets import QSizePolicy

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _


class PracticeBar(Painted):
    """Says that the cases are invented and that nothing here counts."""

    def __init__(self, theme: Theme) -> None:
        self._word = _("Practice").upper()
        self._words = _("Invented cases. Nothing here reaches your book, its numbers or a pack.")
        super().__init__(theme)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(_("Practice book"))
        self.setAccessibleDescription(self._words)

    def relook(self) -> None:
        """Takes over the height."""
        self.setFixedHeight(self.look.pitches(1.4))
        self.update()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes a window wider."""
        return QSize(200, self.height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints stripes and words."""
        ink.fill(0, 0, width, height, "practice")
        ink.painter.setPen(QPen(self.look.colour("on_practice"), 7))
        for stripe in range(-height, width + height, 24):
            ink.painter.drawLine(QPointF(stripe, height + 6), QPointF(stripe + height + 12, -6))
        slab, small = self.look.slab("body", 108), self.look.font("small", 500)
        first, second = ink.width(self._word, slab), ink.width(self._words, small)
        both = min(first + second + 18, width - 40)
        ink.fill((width - both - 42) / 2, 0, both + 42, height, "practice")
        x = (width - both) / 2
        ink.text(x, 0, self._word, slab, "on_practice", height=height)
        ink.text(x + first + 18, 0, self._words, small, "on_practice", height=height, room=both - first - 18)
