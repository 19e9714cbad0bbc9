"""The pages of a sheet as they will be printed, as wide as the window allows."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.sheet.drawing import PAPER, draw_page
from kbapp.desktop.sheet.layout import Page
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Painted, Themed
from kbapp.i18n import _

WIDEST: float = 1.5
"""Pages are shown no larger than so many times their size on paper (at 96 to the inch)."""


class PaperView(QWidget, Themed):
    """One page; a screen reader hears its words."""

    def __init__(self, theme: Theme, page: Page, number: int) -> None:
        super().__init__()
        self.page = page
        self.setAccessibleName(_("Page {n}").format(n=number))
        self.setAccessibleDescription("\n".join(page.words()))
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSizePolicy(policy)
        self.bind(theme)

    def _zoom(self) -> float:
        return min(self.width() / self.page.width, WIDEST * 96 / 720)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Takes the height of the page at the new width."""
        super().resizeEvent(event)
        self.setFixedHeight(round(self.page.height * self._zoom()))

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes a window wider."""
        return QSize(240, round(self.page.height * self._zoom()))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the page as the printer would."""
        painter = QPainter(self)
        zoom = self._zoom()
        painter.translate((self.width() - self.page.width * zoom) / 2, 0)
        painter.scale(zoom, zoom)
        sheet = QRectF(0, 0, self.page.width, self.page.height)
        painter.fillRect(sheet, PAPER)
        draw_page(painter, self.page)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(self.look.colour("rule_strong"))
        painter.drawRect(sheet)
        painter.end()


class _Desk(Painted):
    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the desk the pages lie on."""
        ink.fill(0, 0, width, height, "desk")


class Preview(QScrollArea):
    """All pages below each other."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._desk = _Desk(theme)
        self._column = QVBoxLayout(self._desk)
        self._column.setContentsMargins(16, 12, 16, 12)
        self._column.setSpacing(12)
        self._column.addStretch()
        self.views: list[PaperView] = []
        self.setWidget(self._desk)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(_("The sheet as it will be printed"))
        self.verticalScrollBar().setSingleStep(40)

    def show_pages(self, pages: tuple[Page, ...]) -> None:
        """Shows other pages."""
        for view in self.views:
            self._column.removeWidget(view)
            view.hide()
            view.deleteLater()
        self.views = [PaperView(self._theme, page, n) for n, page in enumerate(pages, 1)]
        for n, view in enumerate(self.views):
            self._column.insertWidget(n, view)
        self.setAccessibleDescription("\n".join(word for page in pages for word in page.words()))
        self.verticalScrollBar().setValue(0)
