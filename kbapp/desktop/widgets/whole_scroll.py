"""A scrolling page that shows no half line: what is left over below the last whole one stays page."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Themed


class WholeScroll(QScrollArea, Themed):
    """Scrolls a widget made of rows that are all as high as a target."""

    def __init__(self, theme: Theme, page: QWidget) -> None:
        super().__init__()
        self.setWidget(page)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.bind(theme)

    def relook(self) -> None:
        """Scrolls by the rows of the look."""
        self.verticalScrollBar().setSingleStep(self.look.metrics.row)
        self.setViewportMargins(0, 0, 0, self.height() % self.look.metrics.row)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leaves the rest below the last whole row."""
        self.setViewportMargins(0, 0, 0, self.height() % self.look.metrics.row)
        super().resizeEvent(event)
