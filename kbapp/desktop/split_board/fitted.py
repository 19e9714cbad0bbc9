"""Lists at their full height on a page that scrolls, with one line that may stand open for more words."""

from typing import TypeVar

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QListView, QSizePolicy, QStyleOptionViewItem

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import Index, LineDelegate, Lines

T = TypeVar("T")


class OpenDelegate(LineDelegate[T]):
    """A line delegate whose line ``open_row`` shows more than the others; -1: none."""

    margin = False
    open_row = -1

    def width(self) -> int:
        """Returns the width lines have."""
        view = self.parent()
        return view.viewport().width() if isinstance(view, QListView) else 400

    def open_height(self, row: T) -> int:
        """Returns the height of the line while it stands open."""
        return self.height(row)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Returns the height of a row."""
        row: T = index.data(Qt.ItemDataRole.UserRole)
        return QSize(100, self.open_height(row) if index.row() == self.open_row else self.height(row))


class FittedLines(Lines):
    """A list that is as high as its lines; scrolling is left to the page around it."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__(theme, name, margin=False)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.fit)

    def unfold(self, row: int) -> None:
        """Lets one line stand open, or none (-1)."""
        delegate = self.itemDelegate()
        if isinstance(delegate, OpenDelegate) and delegate.open_row != row:
            delegate.open_row = row
            self.scheduleDelayedItemsLayout()
            self.fit()
            self.viewport().update()

    def reset(self) -> None:
        """Takes over other lines."""
        super().reset()
        self.fit()

    def count_ready(self) -> bool:
        """Returns whether there is a model yet; Qt resets the view once before."""
        model: object = self.model()
        return model is not None

    def fit(self) -> None:
        """Takes the height of all lines."""
        if not self.count_ready():
            return
        model, delegate = self.model(), self.itemDelegate()
        option = QStyleOptionViewItem()
        tall = sum(delegate.sizeHint(option, model.index(n, 0)).height() for n in range(model.rowCount()))
        if self.height() != max(tall, 1):
            self.setFixedHeight(max(tall, 1))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Grows with the words at the new width."""
        super().resizeEvent(event)
        self.fit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leaves scrolling to the page."""
        event.ignore()
