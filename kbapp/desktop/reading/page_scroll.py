"""A page that scrolls by whole ruled lines and follows the line the keyboard is on."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import Lines
from kbapp.desktop.widgets.themed import Painted


class _Paper(Painted):
    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the page."""
        ink.fill(0, 0, width, height, "page")


class PageScroll(QScrollArea):
    """Stacks widgets on one page."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__()
        self._theme = theme
        self.paper = _Paper(theme)
        self.column = QVBoxLayout(self.paper)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(0)
        self.setWidget(self.paper)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(name)
        theme.changed.connect(self._step)
        self._step()

    def _step(self) -> None:
        self.verticalScrollBar().setSingleStep(self._theme.look.metrics.pitch)

    def add(self, widget: QWidget) -> None:
        """Adds a widget at the end of the page."""
        self.column.addWidget(widget)
        if isinstance(widget, Lines):
            widget.picked.connect(lambda row: self._follow(widget, row))

    def _follow(self, lines: Lines, row: int) -> None:
        if lines.hasFocus():
            rect = lines.visualRect(lines.model().index(row, 0))
            at = lines.mapTo(self.paper, QPoint(0, rect.center().y()))
            self.ensureVisible(0, at.y(), 0, rect.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keeps the page as wide as the view."""
        bar = self.verticalScrollBar()
        self.paper.setMaximumWidth(max(0, self.width() - (bar.sizeHint().width() if bar.isVisible() else 0)))
        super().resizeEvent(event)
