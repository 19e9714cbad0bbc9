"""A form with something beside it; where the window is narrow, that stands on the form's own page."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.theme.theme import Theme


class Sided(QWidget):
    """``side`` moves between its own pane and the place ``at`` of the page."""

    def __init__(self, theme: Theme, page: FormPage, side: QWidget, at: int) -> None:
        super().__init__()
        self._theme, self._page, self._side, self._at = theme, page, side, at
        self._beside = True
        self._pane = FormPage(theme, side.accessibleName())
        self._pane.add(side)
        self._split = QSplitter(Qt.Orientation.Horizontal)
        self._split.setHandleWidth(8)
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(page)
        self._split.addWidget(self._pane)
        self._split.setStretchFactor(0, 3)
        self._split.setStretchFactor(1, 2)
        self._split.setSizes([640, 440])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._split)
        theme.changed.connect(self.arrange)

    @property
    def beside(self) -> bool:
        """Whether both stand side by side."""
        return self._beside

    def sizes(self) -> list[int]:
        """Returns the widths of the panes, nothing while they are one."""
        return self._split.sizes() if self.beside and self.isVisible() else []

    def set_sizes(self, sizes: object) -> None:
        """Takes over the widths of the panes."""
        if isinstance(sizes, list) and len(sizes) == 2 and all(isinstance(size, int) for size in sizes):
            self._split.setSizes(sizes)

    def arrange(self) -> None:
        """Puts the side where it fits."""
        wide = self.width() >= 2 * self._theme.look.metrics.pane + 8
        if wide == self._beside:
            return
        self._beside = wide
        if wide:
            self._page.column.removeWidget(self._side)
            self._pane.add(self._side)
        else:
            self._pane.column.removeWidget(self._side)
            self._page.column.insertWidget(self._at, self._side)
        self._pane.setVisible(wide)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Puts the side where it fits."""
        super().resizeEvent(event)
        self.arrange()
