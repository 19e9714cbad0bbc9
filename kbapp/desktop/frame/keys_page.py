"""The Keys page: every key of the program, by group, as a real table."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.keys import KEYS, shown
from kbapp.desktop.screens import Screen
from kbapp.desktop.widgets.buttons import Button
from kbapp.i18n import _


class KeysPage(Screen):
    """Shows the list the actions are made from."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Keys"))
        back = Button(context.theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(back)
        self.table = QTableWidget(len(KEYS), 3)
        self._fill()
        self.body.addWidget(self.table, 1)
        context.theme.changed.connect(self._relook)
        self._relook()

    def _fill(self) -> None:
        table = self.table
        table.setAccessibleName(_("Keys"))
        table.setHorizontalHeaderLabels([_("Where"), _("What it does"), _("Key")])
        table.horizontalHeader().setAccessibleName(_("Columns"))
        table.verticalHeader().hide()
        table.setFrameShape(QFrame.Shape.NoFrame)
        table.setShowGrid(False)
        table.setTabKeyNavigation(False)
        table.setCornerButtonEnabled(False)
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)
        table.horizontalHeader().setHighlightSections(False)
        table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        table.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        group = ""
        for row, entry in enumerate(KEYS):
            where = _(entry.group) if entry.group != group else ""
            group = entry.group
            for column, text in enumerate((where, _(entry.text), shown(entry))):
                cell = QTableWidgetItem(text)
                cell.setData(Qt.ItemDataRole.AccessibleTextRole, text or _(entry.group))
                table.setItem(row, column, cell)

    def _relook(self) -> None:
        look = self.context.theme.look
        self.table.verticalHeader().setDefaultSectionSize(look.metrics.row)
        self.table.horizontalHeader().setFixedHeight(look.pitches(1.35))
        fonts = (look.font("small", 600), look.font("body"), look.mono("small"))
        for row in range(self.table.rowCount()):
            for column, font in enumerate(fonts):
                self.table.item(row, column).setFont(font)  # type: ignore[union-attr]
        self.table.resizeColumnsToContents()

    def first(self) -> QWidget:
        """Returns the table."""
        return self.table
