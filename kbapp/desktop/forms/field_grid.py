"""Labelled fields side by side, in as many columns as there is room for."""

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Painted

MOST_COLUMNS = 4


class FieldGrid(Painted):
    """Holds fields of one section; the order is that of the keyboard."""

    def __init__(self, theme: Theme, fields: Sequence[Labelled], *, most: int = MOST_COLUMNS) -> None:
        self._fields, self._most, self._columns = tuple(fields), most, 0
        self._grid = QGridLayout()
        super().__init__(theme)
        self.setLayout(self._grid)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self._arrange(1)
        self.relook()

    def relook(self) -> None:
        """Takes over margins and gaps."""
        metrics = self.look.metrics
        self._grid.setContentsMargins(metrics.pad + 1, metrics.pad, metrics.pad + 1, metrics.pad)
        self._grid.setHorizontalSpacing(metrics.pad - 2)
        self._grid.setVerticalSpacing(metrics.pad)
        self._fit()
        self.update()

    def _fit(self) -> None:
        least = round(self.look.metrics.body * 14)
        self._arrange(max(1, min(self._most, (self.width() - 2 * self.look.metrics.pad) // least)))

    def _arrange(self, columns: int) -> None:
        if columns == self._columns:
            return
        for column in range(max(self._columns, columns)):
            self._grid.setColumnStretch(column, 1 if column < columns else 0)
        self._columns = columns
        row = column = 0
        for field in self._fields:
            span = columns if field.wide else min(field.span, columns)
            if column + span > columns:
                row, column = row + 1, 0
            self._grid.addWidget(field, row, column, 1, span)
            column += span
            if column >= columns:
                row, column = row + 1, 0
        self.updateGeometry()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Chooses how many columns there are."""
        super().resizeEvent(event)
        self._fit()

    def minimumSizeHint(self) -> QSize:
        """Returns a width that never pushes a page wider."""
        return QSize(80, super().minimumSizeHint().height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the page."""
        ink.fill(0, 0, width, height, "page")


class Inset(FieldGrid):
    """A text that has its own label, in the margins of the page."""

    def __init__(self, theme: Theme, edit: QWidget) -> None:
        super().__init__(theme, (), most=1)
        self._grid.addWidget(edit, 0, 0)
