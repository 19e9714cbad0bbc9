"""The thumb index cut into the page edge: one tab a screen, the menu and the book's name below."""

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QMenu, QSizePolicy, QVBoxLayout, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.screens import ScreenEntry
from kbapp.desktop.theme.icons import icon
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.labels import ElideLabel
from kbapp.desktop.widgets.themed import Themed
from kbapp.i18n import _

_WIDE = 172


class Tab(QAbstractButton, Themed):
    """One tab: icon and name, or (``compact``) icon over a short word."""

    def __init__(self, theme: Theme, icon: str, name: str, short: str) -> None:
        super().__init__()
        self._icon, self._short = icon, short
        self._compact = False
        self.setText(name)
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.bind(theme)

    def set_compact(self, *, compact: bool) -> None:
        """Changes between name and short word."""
        self._compact = compact
        self.relook()

    def relook(self) -> None:
        """Takes over the height."""
        self.setFixedHeight(self.look.metrics.row + (8 if self._compact else 0))
        self.update()

    def sizeHint(self) -> QSize:
        """Returns a size the index decides on."""
        return QSize(80, self.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the tab; the open one is part of the page."""
        painter = QPainter(self)
        ink = Ink(painter, self.look)
        width, height, on = self.width(), self.height(), self.isChecked()
        if on:
            path = QPainterPath()
            path.addRoundedRect(QRectF(6, 1, width + 10, height - 2), 4, 4)
            painter.fillPath(path, self.look.colour("page"))
            painter.setPen(QPen(self.look.colour("rule_strong"), 1))
            painter.drawPath(path)
            ink.fill(6, 6, 4, height - 12, "margin")
        elif self.isDown():
            ink.fill(6, 1, width - 6, height - 2, "select")
        self._words(ink, width, height, on=on)
        painter.end()

    def _words(self, ink: Ink, width: int, height: int, *, on: bool) -> None:
        look, side = self.look, self.look.metrics.icon
        role: Role = "ink" if on else "ink2"
        if self._compact:
            ink.icon((width - side) / 2 + 3, height / 2 - side / 2 - 1, self._icon, role)
            font = look.font("small", 600 if on else 500)
            ink.text(width / 2 + 3, height / 2 + 1, self._short, font, role, align="centre", height=height / 2 - 4,
                     room=width - 8)  # fmt: skip
        else:
            ink.icon(18, height / 2, self._icon, role)
            left = 18 + side + 8
            ink.text(left, 0, self.text(), look.font("body", 600 if on else 500), role, height=height,
                     room=width - left - 4)  # fmt: skip


_AIR = 14
_GAP = 2


class ThumbIndex(QWidget, Themed):
    """All tabs. ``chosen`` is sent with a screen's key, ``menu_wanted`` when the menu is to open.

    Tabs that have no room are behind a tab of their own; the one that is open always stands in the index.
    """

    chosen = Signal(str)
    menu_wanted = Signal()

    def __init__(self, theme: Theme, entries: Sequence[ScreenEntry]) -> None:
        super().__init__()
        self._compact = False
        self._open = ""
        self._tabs: dict[str, Tab] = {}
        self._icons = {entry.key: entry.icon for entry in entries}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, _AIR - 8)
        column.setSpacing(_GAP)
        for entry in entries:
            tab = Tab(theme, entry.icon, _(entry.name), _(entry.short))
            tab.setCheckable(True)
            tab.clicked.connect(lambda _checked=False, key=entry.key: self.chosen.emit(key))
            self._tabs[entry.key] = tab
            column.addWidget(tab)
        self.more_tab = Tab(theme, "down", _("More screens"), _("More"))
        self.more_tab.clicked.connect(self.open_more)
        self.more_tab.hide()
        self.more = QMenu(self)
        self.more.setAccessibleName(_("More screens"))
        column.addWidget(self.more_tab)
        column.addStretch()
        self.menu_tab = Tab(theme, "menu", _("Menu"), _("Menu"))
        self.menu_tab.clicked.connect(self.menu_wanted)
        column.addWidget(self.menu_tab)
        self._book = ElideLabel(theme, "", "small", "ink2", weight=600)
        self._facts = ElideLabel(theme, "", "small", "ink2")
        self._feet = QWidget()
        feet = QVBoxLayout(self._feet)
        feet.setContentsMargins(14, 4, 6, 4)
        feet.setSpacing(2)
        feet.addWidget(self._book)
        feet.addWidget(self._facts)
        column.addWidget(self._feet)
        self.setAccessibleName(_("Screens"))
        self.bind(theme)

    def tab(self, key: str) -> Tab:
        """Returns the tab of a screen."""
        return self._tabs[key]

    def show_open(self, key: str) -> None:
        """Marks the tab of the screen that is shown."""
        self._open = key
        for name, tab in self._tabs.items():
            tab.setChecked(name == key)
        self._fit()

    def _fit(self) -> None:
        """Shows the tabs that have room."""
        step = self.menu_tab.height() + _GAP
        feet = self._feet.sizeHint().height() + _GAP if self._feet.isVisibleTo(self) else 0
        room = (self.height() - _AIR - feet) // step - 1  # the menu has its place in any case
        names = list(self._tabs)
        shown = names if room >= len(names) else names[: max(1, room - 1)]
        if self._open in self._tabs and self._open not in shown:
            shown = [*shown[:-1], self._open]
        for name, tab in self._tabs.items():
            tab.setVisible(name in shown)
        self.more_tab.setVisible(len(shown) < len(names))

    def open_more(self) -> None:
        """Opens the screens that have no tab in sight."""
        self.more.clear()
        for name, tab in self._tabs.items():
            if tab.isHidden():
                entry = self.more.addAction(icon(self.look, self._icons[name]), tab.text())
                entry.triggered.connect(lambda _on=False, key=name: self.chosen.emit(key))
        self.more.popup(self.more_tab.mapToGlobal(QPoint(self.more_tab.width(), 0)))

    def say_book(self, name: str, facts: str) -> None:
        """Shows which book is open and what it holds."""
        self._book.set_text(name)
        self._facts.set_text(facts)
        self._feet.setVisible(bool(name) and not self._compact)
        self._fit()

    def set_compact(self, *, compact: bool) -> None:
        """Changes between names and short words under the icons."""
        self._compact = compact
        for tab in (*self._tabs.values(), self.more_tab, self.menu_tab):
            tab.set_compact(compact=compact)
        self._feet.setVisible(bool(self._book.text()) and not compact)
        self.relook()
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shows as many tabs as have room."""
        super().resizeEvent(event)
        self._fit()

    def relook(self) -> None:
        """Takes over the width."""
        metrics = self.look.metrics
        self.setFixedWidth(round(metrics.body * 5.4 + 16) if self._compact else _WIDE)
