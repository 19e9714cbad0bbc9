"""Small fields of the board's forms: a tick, a labelled field, a line of choices."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QHBoxLayout,
    QSizePolicy,
    QStyledItemDelegate,
    QVBoxLayout,
    QWidget,
)

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.split_board.button_row import ButtonRow
from kbapp.desktop.theme.icons import draw_icon
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.themed import Themed


class Tick(QAbstractButton, Themed):
    """A box with words, as high as a target."""

    def __init__(self, theme: Theme, text: str) -> None:
        super().__init__()
        self.setText(text)
        self.setAccessibleName(text)
        self.setToolTip(text)
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSizePolicy(policy)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over the height."""
        self.setFixedHeight(self.look.metrics.row)
        self.update()

    def sizeHint(self) -> QSize:
        """Returns room for box and words."""
        metrics = self.look.metrics
        words = self.look.measure(self.look.font("body")).horizontalAdvance(self.text())
        return QSize(round(min(words, 420) + metrics.icon + metrics.pad * 3 + 8), metrics.row)

    def minimumSizeHint(self) -> QSize:
        """Returns the least size one can hit."""
        return QSize(self.look.metrics.row * 2, self.look.metrics.row)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints box and words."""
        painter = QPainter(self)
        ink, look, metrics = Ink(painter, self.look), self.look, self.look.metrics
        height, on = self.height(), self.isChecked()
        ink.fill(0, 0, self.width(), height, "select" if self.isDown() else "page")
        side = metrics.icon * 0.95
        box = QRectF(metrics.pad + 2, (height - side) / 2, side, side)
        painter.setPen(QPen(look.colour("accent" if on else "rule_strong"), 1.5))
        painter.setBrush(look.colour("accent" if on else "page"))
        painter.drawRoundedRect(box, 3, 3)
        if on:
            draw_icon(painter, "tick", box.adjusted(2, 2, -2, -2), look.colour("on_accent"), 3)
        left = box.right() + metrics.pad + 2
        room = self.width() - left - metrics.pad
        font = look.font("body")
        if ink.width(self.text(), font) <= room:
            ink.text(left, 0, self.text(), font, height=height)
        else:
            small = look.font("small")
            lines = wrap(look, self.text(), small, room)
            kept = (lines[0], " ".join(lines[1:])) if len(lines) > 1 else lines
            tall = look.measure(small).height()
            for n, words in enumerate(kept):
                ink.text(left, height / 2 + (n - len(kept) / 2) * tall, words, small, height=tall, room=room)
        ink.across(0, self.width(), height - 1)
        painter.end()


class Choice(QComboBox, Themed):
    """A list of choices, each with a value of its own."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__()
        self.setItemDelegate(QStyledItemDelegate(self))
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(10)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over the font."""
        self.setFont(self.look.font("body"))

    def offer(self, items: Sequence[tuple[str, str]]) -> None:
        """Offers other choices (value, words); the value chosen stays where it is among them."""
        kept = self.value
        self.blockSignals(True)
        self.clear()
        for value, words in items:
            self.addItem(words, value)
        self.setCurrentIndex(max(0, self.findData(kept)))
        self.blockSignals(False)

    @property
    def value(self) -> str:
        """The value chosen."""
        found = self.currentData()
        return found if isinstance(found, str) else ""

    def choose(self, value: str) -> None:
        """Chooses a value, if it is offered."""
        place = self.findData(value)
        if place >= 0:
            self.setCurrentIndex(place)


class Toggle(ButtonRow):
    """A row of buttons of which one is down. ``changed`` is sent with its value."""

    changed = Signal(str)

    def __init__(self, theme: Theme, name: str, items: Sequence[tuple[str, str]]) -> None:
        self.buttons: dict[str, Button] = {}
        for value, words in items:
            button = Button(theme, words)
            button.setCheckable(True)
            button.clicked.connect(lambda _on=False, v=value: self._pressed(v))
            self.buttons[value] = button
        super().__init__(theme, tuple(self.buttons.values()))
        self.setAccessibleName(name)
        self.choose(items[0][0])

    @property
    def value(self) -> str:
        """The value of the button that is down."""
        return next((value for value, button in self.buttons.items() if button.isChecked()), "")

    def choose(self, value: str) -> None:
        """Presses a button down without telling."""
        if value in self.buttons:
            for name, button in self.buttons.items():
                button.setChecked(name == value)

    def _pressed(self, value: str) -> None:
        self.choose(value)
        self.changed.emit(value)


class Labelled(QWidget):
    """A field under its label."""

    def __init__(self, theme: Theme, label: str, field: QWidget) -> None:
        super().__init__()
        self.label = TextLabel(theme, label, "small", "ink2")
        self.label.setToolTip(label)
        self.label.setMinimumWidth(40)
        self.field = field
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 2)
        column.setSpacing(1)
        column.addWidget(self.label)
        column.addWidget(field)


def side_by_side(theme: Theme, *widgets: QWidget, first: int = 1) -> QWidget:
    """Returns fields in one row on the page; the first is ``first`` times as wide as the others."""
    holder = QWidget()
    row = QHBoxLayout(holder)
    pad = theme.look.metrics.pad
    row.setContentsMargins(pad + 2, 0, pad + 2, 0)
    row.setSpacing(pad)
    for n, widget in enumerate(widgets):
        row.addWidget(widget, first if n == 0 else 1)
    return holder
