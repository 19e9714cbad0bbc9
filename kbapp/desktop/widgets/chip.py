"""A condition of the question as a chip: label and bold value; pressing it takes the condition away."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Themed
from kbapp.i18n import _


class Chip(QAbstractButton, Themed):
    """Shows one condition; a click, Space or Delete removes it."""

    def __init__(self, theme: Theme, label: str, value: str) -> None:
        super().__init__()
        self.label, self.value = label, value
        self.setText(f"{label} {value}")
        name = _("{label} {value}, remove this condition").format(label=label, value=value)
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over the height."""
        self.setFixedHeight(self.look.metrics.row)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Returns room for label, value and cross."""
        look, metrics = self.look, self.look.metrics
        words = look.measure(look.font("small")).horizontalAdvance(self.label)
        words += look.measure(look.font("small", 600)).horizontalAdvance(self.value)
        return QSize(round(words + 6 + metrics.pad * 3 + metrics.icon * 0.7) + 6, metrics.row)

    def minimumSizeHint(self) -> QSize:
        """Returns the least size one can hit; the value is cut then."""
        return QSize(self.look.metrics.row * 2, self.look.metrics.row)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Removes with Delete and Backspace, too."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the chip."""
        painter = QPainter(self)
        ink = Ink(painter, self.look)
        metrics, height = self.look.metrics, self.height()
        painter.setPen(QPen(self.look.colour("rule_strong"), 1))
        painter.setBrush(self.look.colour("band" if self.isDown() else "select"))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.75, 0.75, -0.75, -0.75), 3, 3)
        side = metrics.icon * 0.7
        room = self.width() - metrics.pad * 2.5 - side
        x = metrics.pad + ink.text(metrics.pad, 0, self.label, self.look.font("small"), "ink2", height=height) + 6
        ink.text(x, 0, self.value, self.look.font("small", 600), "ink", height=height, room=room - x + metrics.pad / 2)
        ink.icon(self.width() - metrics.pad - side, height / 2, "x", "ink2", side, 2)
        painter.end()
