"""Things to tick: a box (or, where one of several holds, a ring) with its words, and rows of them that break."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QSizePolicy, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.icons import draw_icon
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.themed import Themed
from kbapp.i18n import _

ROOM_FOR_RING = (3, 3, 3, 3)
"""The focus ring is drawn inside the parent of what has the focus."""


class TickButton(QAbstractButton, Themed):
    """Words with a box, or with a ring where only one of a row holds."""

    def __init__(self, theme: Theme, text: str, *, ring: bool = False) -> None:
        super().__init__()
        self._ring = ring
        self.setText(text)
        self.setCheckable(True)
        self.setAccessibleName(text)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over the height."""
        self.setFixedHeight(self.look.metrics.row)
        self.updateGeometry()
        self.update()

    @property
    def _box(self) -> float:
        return self.look.metrics.icon * 0.86

    def sizeHint(self) -> QSize:
        """Returns room for box and words."""
        words = self.look.measure(self.look.font("body", 600)).horizontalAdvance(self.text())
        return QSize(round(words + self._box + self.look.metrics.pad * 3) + 4, self.look.metrics.row)

    def minimumSizeHint(self) -> QSize:
        """Returns the whole size: words to choose by are never cut."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints edge, mark and words."""
        painter = QPainter(self)
        ink, look, pad, box = Ink(painter, self.look), self.look, self.look.metrics.pad, self._box
        on, live = self.isChecked(), self.isEnabled()
        painter.setPen(QPen(look.colour("accent" if on else "rule_strong"), 1))
        painter.setBrush(look.colour("select" if on else "band" if self.isDown() else "page"))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.75, 0.75, -0.75, -0.75), 3, 3)
        mark = QRectF(pad, (self.height() - box) / 2, box, box)
        painter.setPen(QPen(look.colour("accent" if on else "rule_strong"), 1.5))
        painter.setBrush(look.colour("accent" if on else "page"))
        radius = box / 2 if self._ring else 2
        painter.drawRoundedRect(mark, radius, radius)
        if on:
            draw_icon(painter, "tick", mark.adjusted(2, 2, -2, -2), look.colour("on_accent"), 3)
        ink.text(pad + box + pad, 0, self.text(), look.font("body", 600 if on else 400), "ink" if live else "disabled",
                 height=self.height())  # fmt: skip
        painter.end()


class Choice(QWidget):
    """One of several: ``chosen`` is sent with the name of another one. Arrows go from one to the next."""

    chosen = Signal(str)

    def __init__(self, theme: Theme, name: str, options: Mapping[str, str]) -> None:
        super().__init__()
        self._group = QButtonGroup(self)
        self.buttons: dict[str, TickButton] = {}
        row = FlowRow(8)
        row.setContentsMargins(*ROOM_FOR_RING)
        for key, words in options.items():
            button = TickButton(theme, words, ring=True)
            button.setAccessibleDescription(name)
            button.clicked.connect(lambda _on=False, k=key: self.chosen.emit(k))
            self._group.addButton(button)
            self.buttons[key] = button
            row.addWidget(button)
        self.setLayout(row)
        self.setAccessibleName(name)

    def show_chosen(self, key: str) -> None:
        """Shows which one holds."""
        if key in self.buttons:
            self.buttons[key].setChecked(True)


class Ticks(QWidget):
    """Any of several: ``changed`` is sent with all that are ticked."""

    changed = Signal(object)

    def __init__(self, theme: Theme, name: str, options: Sequence[str]) -> None:
        super().__init__()
        self.buttons = {option: TickButton(theme, option) for option in options}
        for option, button in self.buttons.items():
            button.setAccessibleName(_("{option} is here").format(option=option))
        row = FlowRow(8)
        row.setContentsMargins(*ROOM_FOR_RING)
        for button in self.buttons.values():
            button.clicked.connect(lambda _on=False: self.changed.emit(self.ticked()))
            row.addWidget(button)
        self.setLayout(row)
        self.setAccessibleName(name)

    def ticked(self) -> frozenset[str]:
        """Returns what is ticked."""
        return frozenset(name for name, button in self.buttons.items() if button.isChecked())

    def show_ticked(self, ticked: frozenset[str]) -> None:
        """Shows what is ticked."""
        for name, button in self.buttons.items():
            button.setChecked(name in ticked)
