"""What every painted control shares: the theme it asks, and a second look when that changes."""

from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.theme import Theme


class Themed:
    """Gives a widget its theme; ``relook`` runs at once and whenever theme or size change."""

    theme: Theme

    def bind(self, theme: Theme) -> None:
        """Ties the widget to a theme."""
        self.theme = theme
        theme.changed.connect(self.relook)
        self.relook()

    @property
    def look(self) -> Look:
        """The look in force."""
        return self.theme.look

    def relook(self) -> None:
        """Takes over fonts, heights and icons of the look in force."""


class Painted(QWidget, Themed):
    """A widget painted from the look: subclasses implement ``draw``."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bind(theme)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the widget."""
        painter = QPainter(self)
        self.draw(Ink(painter, self.look), self.width(), self.height())
        painter.end()

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints into an area of the given size."""
        raise NotImplementedError
