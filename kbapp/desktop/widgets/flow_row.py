"""A row that breaks: widgets stand side by side and go on in the next row where the width ends."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class FlowRow(QLayout):
    """Lays out widgets like words, ``gap`` pixels apart."""

    def __init__(self, gap: int = 6, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._gap = gap
        self._items: list[QLayoutItem] = []
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        """Adds an item at the end."""
        self._items.append(item)
        self.invalidate()

    def count(self) -> int:
        """Returns how many items there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Returns an item, or None beyond the last."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Takes an item out."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Returns that the row takes no more than it needs."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Returns that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Returns the height of all rows at a width."""
        return self._arrange(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:
        """Places the items."""
        super().setGeometry(rect)
        self._arrange(rect, move=True)

    def sizeHint(self) -> QSize:
        """Returns the least size."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        """Returns the size of the largest item."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size.grownBy(self.contentsMargins())

    def _arrange(self, rect: QRect, *, move: bool) -> int:
        margins = self.contentsMargins()
        rect = rect.marginsRemoved(margins)
        x, y, tall = rect.x(), rect.y(), 0
        for item in self._items:
            widget = item.widget()
            if widget is not None and widget.isHidden():
                continue
            size = item.sizeHint().boundedTo(QSize(max(rect.width(), 60), 10_000))
            if x > rect.x() and x + size.width() > rect.x() + rect.width():
                x, y, tall = rect.x(), y + tall + self._gap, 0
            if move:
                item.setGeometry(QRect(QPoint(x, y), size))
            x, tall = x + size.width() + self._gap, max(tall, size.height())
        return y + tall - rect.y() + margins.top() + margins.bottom()
