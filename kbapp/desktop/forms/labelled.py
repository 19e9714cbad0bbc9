"""A field under its label, with a line below for a remark or for what is wrong with it."""

from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.labels import TextLabel

RING = 3
"""Room the focus ring takes around a field, in pixels."""


class Labelled(QWidget):
    """Stands in a grid, ``span`` columns wide; ``wide`` takes a row of its own."""

    def __init__(self, theme: Theme, label: str, field: QWidget, *, wide: bool = False, span: int = 1) -> None:
        super().__init__()
        self.field, self.wide, self.span = field, wide, span
        self._label = TextLabel(theme, label, "small", "ink2", weight=600, wrap=True)
        self._below = TextLabel(theme, "", "small", "ink2", wrap=True)
        self._below.hide()
        column = QVBoxLayout(self)
        # the focus ring of a plain field needs room on all sides; a field made of several brings its own
        edge = 0 if field.layout() is not None else RING
        for words in (self._label, self._below):
            words.setContentsMargins(RING - edge, 0, 0, 0)
        column.setContentsMargins(edge, 0, edge, edge)
        column.setSpacing(2)
        column.addWidget(self._label)
        column.addWidget(field)
        column.addWidget(self._below)
        column.addStretch()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def say(self, words: str, ink: Role = "ink2") -> None:
        """Writes a remark below the field, or nothing; a fault (ink ``danger``) marks the field, too."""
        self._below.setText(words)
        self._below.set_ink(ink)
        self._below.setVisible(bool(words))
        bad = bool(words) and ink == "danger"
        if self.field.property("bad") != bad:
            self.field.setProperty("bad", bad)
            self.field.style().unpolish(self.field)
            self.field.style().polish(self.field)
        self.field.setAccessibleDescription(words)

    def said(self) -> str:
        """Returns what stands below the field."""
        return self._below.text() if not self._below.isHidden() else ""
