"""Sentences on the page behind an icon, each on lines of its own; nothing where there are none."""

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.themed import Painted


class PageWords(Painted):
    """A block of sentences in small type; ``wash`` is its ground."""

    def __init__(self, theme: Theme, name: str, icon: str, role: Role, wash: Role = "page") -> None:
        self._name, self._icon = name, icon
        self._role: Role = role
        self._wash: Role = wash
        self._words: tuple[str, ...] = ()
        super().__init__(theme)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.show_words(())

    def words(self) -> tuple[str, ...]:
        """Returns the sentences."""
        return self._words

    def show_words(self, words: tuple[str, ...]) -> None:
        """Shows other sentences."""
        self._words = words
        self.setVisible(bool(words))
        self.setAccessibleName(self._name)
        self.setAccessibleDescription("\n".join(words))
        self.relook()

    def relook(self) -> None:
        """Takes over fonts and height."""
        if hasattr(self, "_words"):
            self._fit()
        self.update()

    def _lines(self, width: int) -> tuple[tuple[str, ...], ...]:
        look = self.look
        room = width - self._left() - look.metrics.pad
        return tuple(wrap(look, words, look.font("small"), room) for words in self._words)

    def _left(self) -> int:
        return self.look.metrics.pad + self.look.metrics.icon + 10

    def _fit(self) -> None:
        lines = sum(len(block) for block in self._lines(max(self.width(), 120)))
        tall = max(1, lines * self.look.metrics.pitch + 6)
        if self.height() != tall or self.minimumHeight() != tall:
            self.setFixedHeight(tall)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Breaks the lines anew."""
        super().resizeEvent(event)
        self._fit()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes a pane wider."""
        return QSize(120, self.height())

    def minimumSizeHint(self) -> QSize:
        """Returns a width that never pushes a pane wider."""
        return QSize(80, self.height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the sentences."""
        metrics = self.look.metrics
        ink.fill(0, 0, width, height, self._wash)
        if self._wash != "page":
            ink.fill(0, 0, 4, height, self._role)
        top = 3.0
        for block in self._lines(width):
            ink.icon(metrics.pad + 2, top + metrics.pitch / 2, self._icon, self._role, metrics.icon * 0.85)
            for line in block:
                ink.text(self._left(), top, line, self.look.font("small"), height=metrics.pitch)
                top += metrics.pitch
