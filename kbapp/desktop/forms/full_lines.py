"""A list at its full height; the page around it scrolls."""

from collections.abc import Callable, Sequence
from typing import Generic, TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QListView, QSizePolicy, QStyleOptionViewItem

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import LineDelegate, Lines, LinesModel
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine

T = TypeVar("T")


class FullLines(Lines, Generic[T]):
    """Shows rows; empty, it takes no room. ``delete_wanted`` on Delete, ``move_wanted`` on Alt and an arrow."""

    delete_wanted = Signal()
    move_wanted = Signal(int)

    def __init__(
        self,
        theme: Theme,
        name: str,
        speak: Callable[[T], str],
        delegate: Callable[[Theme, Lines], LineDelegate[T]],
        *,
        margin: bool = False,
    ) -> None:
        self.lines = LinesModel[T](speak)
        super().__init__(theme, name, margin=margin)
        self.lines.setParent(self)
        self.setModel(self.lines)
        self.setItemDelegate(delegate(theme, self))
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.theme.changed.connect(self._fit)
        self._fit()

    def show_rows(self, rows: Sequence[T]) -> None:
        """Shows other rows; the line one stands on is kept by its place."""
        if tuple(rows) == self.lines.rows:
            return
        at = self.currentIndex().row()
        self.blockSignals(True)
        self.lines.replace(rows)
        if at >= 0 and rows:
            self.pick(min(at, len(rows) - 1))
        self.blockSignals(False)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Asks to take a line out with Delete, to move it with Alt and an arrow."""
        alt = event.modifiers() & Qt.KeyboardModifier.AltModifier
        if event.key() == Qt.Key.Key_Delete:
            self.delete_wanted.emit()
        elif alt and event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.move_wanted.emit(-1 if event.key() == Qt.Key.Key_Up else 1)
        else:
            super().keyPressEvent(event)

    @property
    def current(self) -> T | None:
        """The row one stands on."""
        at = self.currentIndex().row()
        return self.lines.rows[at] if 0 <= at < len(self.lines.rows) else None

    def _fit(self) -> None:
        option = QStyleOptionViewItem()
        delegate = self.itemDelegate()
        tall = sum(delegate.sizeHint(option, self.lines.index(n, 0)).height() for n in range(self.lines.rowCount()))
        if self.height() != tall or self.maximumHeight() != tall:
            self.setFixedHeight(tall)
        if self.parentWidget() is not None or not tall:  # on its own it would come up as a window
            self.setVisible(tall > 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Grows with the words at the new width."""
        super().resizeEvent(event)
        self._fit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leaves scrolling to the page."""
        event.ignore()


def title_list(theme: Theme, name: str) -> FullLines[TitleLine]:
    """Returns a list of titled lines at its full height."""
    return FullLines(theme, name, lambda row: ". ".join(filter(None, (row.title, row.remark))), TitleDelegate)
