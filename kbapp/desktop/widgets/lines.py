"""Ruled pages: a list whose lines go on below its last entry, the model behind it and the delegate that writes."""

from collections.abc import Callable, Sequence
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Themed

T = TypeVar("T")
Index = QModelIndex | QPersistentModelIndex
_Roles = Qt.ItemDataRole


class LinesModel(QAbstractListModel, Generic[T]):
    """Rows of frozen values; ``speak`` says a row aloud."""

    def __init__(self, speak: Callable[[T], str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[T, ...] = ()
        self._speak = speak

    @property
    def rows(self) -> tuple[T, ...]:
        """The rows."""
        return self._rows

    def replace(self, rows: Sequence[T]) -> None:
        """Shows other rows."""
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Returns how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = _Roles.DisplayRole) -> Any:
        """Returns the value of a row (user role) or what it says."""
        if not 0 <= index.row() < len(self._rows):
            return None
        row = self._rows[index.row()]
        if role == _Roles.UserRole:
            return row
        if role in (_Roles.DisplayRole, _Roles.AccessibleTextRole):
            return self._speak(row)
        return None


class LineDelegate(QStyledItemDelegate, Generic[T]):
    """Writes one line: selection, focus, ruling and margin here, the words in ``line``."""

    lines: float = 2
    margin = True

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme

    def height(self, row: T) -> int:
        """Returns the height of a row in pixels."""
        return self.theme.look.pitches(self.lines)

    def number(self, row: T) -> str:
        """Returns what stands left of the margin."""
        return ""

    def line(self, ink: Ink, row: T, rect: QRectF) -> None:
        """Writes a row."""
        raise NotImplementedError

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Returns the height of a row."""
        return QSize(100, self.height(index.data(_Roles.UserRole)))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paints ground, ruling, margin and words."""
        state: QStyle.StateFlag = option.state
        rect = QRectF(option.rect)
        row: T = index.data(_Roles.UserRole)
        look = self.theme.look
        painter.save()
        ink = Ink(painter, look)
        if state & QStyle.StateFlag.State_Selected:
            ink.fill(rect.left(), rect.top(), rect.width(), rect.height(), "select")
            ink.fill(rect.left(), rect.top(), 4, rect.height(), "accent")
        ink.across(rect.left(), rect.right(), rect.bottom() - 1)
        if self.margin:
            ink.margin(rect.top(), rect.bottom())
            ink.text(look.metrics.margin - 7, rect.top() + 1, self.number(row), look.mono("small"), "ink2",
                     align="right", height=look.metrics.pitch)  # fmt: skip
        self.line(ink, row, rect)
        if state & QStyle.StateFlag.State_HasFocus and state & QStyle.StateFlag.State_KeyboardFocusChange:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(look.colour("accent"), 2))
            painter.drawRect(rect.adjusted(2, 2, -2, -3))
        painter.restore()


class Lines(QListView, Themed):
    """A ruled page of lines. ``picked`` is sent when the current line changes, ``opened`` on Enter or double click."""

    picked = Signal(int)
    opened = Signal(int)

    def __init__(self, theme: Theme, name: str, *, margin: bool = True, whole: bool = False) -> None:
        super().__init__()
        self._margin = margin
        self._whole = whole
        self.setAccessibleName(name)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setMinimumWidth(120)
        self.activated.connect(lambda index: self.opened.emit(index.row()))
        self.bind(theme)

    def relook(self) -> None:
        """Lays the lines out anew."""
        self.verticalScrollBar().setSingleStep(self.look.metrics.pitch)
        self._leave_rest()
        self.scheduleDelayedItemsLayout()
        self.viewport().update()

    def _leave_rest(self) -> None:
        # lines of one height: what is left over below the last whole one stays page
        count = self.model().rowCount() if self.model() else 0
        option = QStyleOptionViewItem()
        line = self.itemDelegate().sizeHint(option, self.model().index(0, 0)).height() if count and self._whole else 0
        scrolls = line > 0 and count * line > self.height()
        self.setViewportMargins(0, 0, 0, self.height() % line if scrolls else 0)

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Tells which line is current."""
        super().currentChanged(current, previous)
        if current.isValid():
            self.picked.emit(current.row())

    def reset(self) -> None:
        """Takes over other lines."""
        super().reset()
        self._leave_rest()

    def pick(self, row: int) -> None:
        """Makes a line current without moving the focus."""
        self.setCurrentIndex(self.model().index(row, 0))

    def bottom(self) -> int:
        """Returns where the last line ends, in pixels of the viewport."""
        count = self.model().rowCount()
        return self.visualRect(self.model().index(count - 1, 0)).bottom() + 1 if count else 0

    def paintEvent(self, event: QPaintEvent) -> None:
        """Rules the page below the last line, then paints the lines."""
        painter = QPainter(self.viewport())
        ink = Ink(painter, self.look)
        width, height, bottom = self.viewport().width(), self.viewport().height(), self.bottom()
        ink.fill(0, 0, width, height, "page")
        ink.ruling(bottom, height, width)
        if self._margin:
            ink.margin(max(0, bottom), height)
        painter.end()
        super().paintEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Gives the focus a line to stand on."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.model().rowCount():
            self.pick(0)
        self.viewport().update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Leaves the selection alone while a finger or mouse drags over it."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shows no half line at the bottom, and keeps the current line in sight."""
        self._leave_rest()
        super().resizeEvent(event)
        if self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())
