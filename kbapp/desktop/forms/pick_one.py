"""A choice among the terms of a vocabulary."""

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QSizePolicy, QStyledItemDelegate

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Themed


class PickOne(QComboBox, Themed):
    """Shows labels, gives values. ``done`` is sent with the value a person chose; Enter goes on."""

    done = Signal(str)
    go_on = Signal()

    def __init__(self, theme: Theme, name: str, terms: Iterable[tuple[str, str]]) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setItemDelegate(QStyledItemDelegate(self))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)
        for value, label in terms:
            self.addItem(label, value)
        self.activated.connect(lambda _row: self.done.emit(self.value()))
        self.bind(theme)

    def relook(self) -> None:
        """Takes over the font."""
        self.setFont(self.look.font("body"))

    def value(self) -> str:
        """Returns the chosen value."""
        return str(self.currentData() or "")

    def put(self, value: str) -> None:
        """Shows a value without telling anyone; one that is not among the terms is shown as it stands."""
        row = self.findData(value)
        if row < 0:
            self.addItem(value, value)
            row = self.count() - 1
        self.setCurrentIndex(row)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the field, then our own arrow."""
        super().paintEvent(event)
        painter = QPainter(self)
        look, side = self.look, self.look.metrics.icon
        ink = Ink(painter, look)
        ink.icon(self.width() - side - look.metrics.pad / 2, self.height() / 2, "down", "ink2", side)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Goes on with Enter; arrows and letters choose, which is told at once."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                event.ignore()
            else:
                self.go_on.emit()
            return
        before = self.currentIndex()
        super().keyPressEvent(event)
        if self.currentIndex() != before:
            self.done.emit(self.value())

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leaves the wheel to the page, so that scrolling changes nothing."""
        event.ignore()
