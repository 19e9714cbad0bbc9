"""A sheet of figures as a table: the same cells as in files and on paper."""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableView, QWidget

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Themed
from kbapp.i18n import _
from kbapp.wording.sheet import Sheet

Index = QModelIndex | QPersistentModelIndex
_Roles = Qt.ItemDataRole
_WIDEST = (34, 26)
"""No column is wider than this, in body heights: with few columns, and with more than five."""


class SheetModel(QAbstractTableModel):
    """The rows of a sheet; every cell says its column aloud."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sheet: Sheet | None = None

    @property
    def sheet(self) -> Sheet | None:
        """The sheet shown."""
        return self._sheet

    def show_sheet(self, sheet: Sheet) -> None:
        """Shows another sheet."""
        self.beginResetModel()
        self._sheet = sheet
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Returns how many rows there are."""
        return 0 if parent.isValid() or self._sheet is None else len(self._sheet.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Returns how many columns there are."""
        return 0 if parent.isValid() or self._sheet is None else len(self._sheet.columns)

    def data(self, index: Index, role: int = _Roles.DisplayRole) -> Any:
        """Returns what a cell says, how it is set and what a screen reader hears."""
        if self._sheet is None or not index.isValid():
            return None
        column = self._sheet.columns[index.column()]
        text = self._sheet.rows[index.row()][index.column()].text
        if role in (_Roles.DisplayRole, _Roles.ToolTipRole):
            return text
        if role == _Roles.AccessibleTextRole:
            return f"{column.head}: {text}"
        if role == _Roles.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.figures else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _Roles.DisplayRole) -> Any:
        """Returns the head of a column."""
        if self._sheet is None or orientation != Qt.Orientation.Horizontal:
            return None
        if role == _Roles.DisplayRole:
            return self._sheet.columns[section].head
        if role == _Roles.TextAlignmentRole:
            figures = self._sheet.columns[section].figures
            side = Qt.AlignmentFlag.AlignRight if figures else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None


class SheetTable(QTableView, Themed):
    """Shows a sheet. ``opened`` is sent with a row on Enter or double click; Ctrl+C copies what is selected."""

    opened = Signal(int)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.sheets = SheetModel(self)
        self.setModel(self.sheets)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().hide()
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setAccessibleName(_("Heads of the table"))
        self.verticalHeader().setAccessibleName(_("Rows of the table"))
        self.horizontalHeader().setStretchLastSection(True)
        self.activated.connect(lambda index: self.opened.emit(index.row()))
        self.bind(theme)

    def relook(self) -> None:
        """Takes over font and heights."""
        self.setFont(self.look.font("body", figures=True))
        self.verticalHeader().setMinimumSectionSize(1)
        self.verticalHeader().setDefaultSectionSize(self.look.metrics.row)
        self.horizontalHeader().setFixedHeight(self.look.pitches(1.6))
        self._fit_columns()

    def show_sheet(self, sheet: Sheet) -> None:
        """Shows another sheet from its first row on."""
        self.setAccessibleName(sheet.title)
        self.sheets.show_sheet(sheet)
        self.horizontalHeader().setStretchLastSection(not sheet.columns[-1].figures)
        self._fit_columns()
        self.scrollToTop()
        if sheet.rows:
            self.setCurrentIndex(self.sheets.index(0, 0))

    def _fit_columns(self) -> None:
        sheet = self.sheets.sheet
        if sheet is None:
            return
        body, head = self.look.measure(self.look.font("body", figures=True)), self.look.font("small", 600)
        widest = round(self.look.metrics.body * _WIDEST[len(sheet.columns) > 5])
        pad = self.look.metrics.pad * 2 + 10
        for n, column in enumerate(sheet.columns):
            texts = (body.horizontalAdvance(row[n].text) for row in sheet.rows[:400])
            wide = max(self.look.measure(head).horizontalAdvance(column.head), *texts, 40.0)
            self.setColumnWidth(n, min(round(wide) + pad, widest))

    def whole_height(self, room: int) -> int:
        """Returns the height of head and whole rows that fit into ``room`` pixels, with a bar below where needed."""
        wide = sum(self.columnWidth(n) for n in range(self.sheets.columnCount()))
        bar = self.horizontalScrollBar().sizeHint().height() if wide > self.viewport().width() else 0
        rows = max(1, (room - self.horizontalHeader().height() - bar) // self.look.metrics.row)
        return self.horizontalHeader().height() + min(rows, self.sheets.rowCount()) * self.look.metrics.row + bar

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copies the selected rows as text with tabs."""
        if event.matches(QKeySequence.StandardKey.Copy):
            QGuiApplication.clipboard().setText(self.selected_text())
        else:
            super().keyPressEvent(event)

    def selected_text(self) -> str:
        """Returns the selected rows, cells parted by tabs, under the heads."""
        sheet = self.sheets.sheet
        if sheet is None:
            return ""
        rows = sorted({index.row() for index in self.selectionModel().selectedRows()})
        lines = [[column.head for column in sheet.columns], *([c.text for c in sheet.rows[row]] for row in rows)]
        return "\n".join("\t".join(line) for line in lines)
