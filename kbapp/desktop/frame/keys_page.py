"""The Keys page: every key of the program, by group, as a real table."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.keys import KEYS, screen_keys, shown, written
from kbapp.desktop.screens import Screen, all_screens
from kbapp.desktop.widgets.buttons import Button
from kbapp.i18n import _


def key_rows() -> tuple[tuple[str, str, str], ...]:
    """Returns group, what it does and the keys of everything that has one."""
    screens = all_screens()
    group = _(KEYS[0].group)
    rows = [
        (group, _("Go to {screen}").format(screen=_(entry.name)), written(sequences))
        for entry, sequences in zip(screens, screen_keys(len(screens)), strict=True)
        if sequences
    ]
    return (*rows, *((_(entry.group), _(entry.text), shown(entry)) for entry in KEYS))


class KeysPage(Screen):
    """Shows the list the actions are made from."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Keys"))
        back = Button(context.theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(back)
        self._rows = key_rows()
        self.table = QTableWidget(len(self._rows), 3)
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
        before = ""
        for row, (group, words, keys) in enumerate(self._rows):
            for column, text in enumerate((group if group != before else "", words, keys)):
                cell = QTableWidgetItem(text)
                cell.setData(Qt.ItemDataRole.AccessibleTextRole, text or group)
                table.setItem(row, column, cell)
            before = group

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
