"""The page a form stands on: heads and grids below each other, always showing the field that has the keyboard."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QSizePolicy, QWidget

from kbapp.desktop.forms.field_grid import FieldGrid
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.themed import Painted


class _Rest(Painted):
    """What is left of the page below the form: ruled."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints page and ruling."""
        ink.fill(0, 0, width, height, "page")
        ink.ruling(0, height, width)


class FormPage(PageScroll):
    """Stacks the sections of a form."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__(theme, name)
        self._theme = theme
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._rest = _Rest(theme)
        self.column.addWidget(self._rest, 1)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._follow_focus)

    def add(self, widget: QWidget) -> None:
        """Adds a widget below the others."""
        self.column.insertWidget(self.column.count() - 1, widget)

    def section(self, title: str, fields: Sequence[Labelled], remark: str = "", *, most: int = 4) -> SectionHead:
        """Adds a head and its fields."""
        head = SectionHead(self._theme, title, remark)
        self.add(head)
        if fields:
            self.add(FieldGrid(self._theme, fields, most=most))
        return head

    def _follow_focus(self, _old: QWidget | None, new: QWidget | None) -> None:
        if new is not None and self.isVisible() and self.paper.isAncestorOf(new):
            self.ensureWidgetVisible(new, 0, self._theme.look.metrics.row)
