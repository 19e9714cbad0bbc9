"""A list of closed cases to take one from: to retrace it, or to learn from it."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.app.text_answer import row_vehicle
from kbapp.app.views import CaseRow
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine
from kbapp.i18n import ngettext
from kbapp.wording.terms import term


class CaseList(QWidget):
    """``chosen`` is sent with the id of a case. ``hides``: the concern is told, the cause is not."""

    chosen = Signal(str)

    def __init__(self, theme: Theme, title: str, remark: str, empty: tuple[str, str]) -> None:
        super().__init__()
        self._theme, self._title, self._remark, self._empty = theme, title, remark, empty
        self.head = SectionHead(theme, title, remark)
        self.notes = NotePlace(theme)
        self.lines = LinesModel[TitleLine](lambda row: f"{row.title}. {row.remark}", self)
        self.list = Lines(theme, title, margin=False, whole=True)
        self.list.setModel(self.lines)
        self.list.setItemDelegate(TitleDelegate(theme, self.list))
        self.list.opened.connect(self._open)
        self.list.clicked.connect(lambda index: self._open(index.row()))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.notes)
        column.addWidget(self.list, 1)

    def _open(self, row: int) -> None:
        if 0 <= row < len(self.lines.rows):
            self.chosen.emit(self.lines.rows[row].key)

    def show_cases(self, rows: Sequence[CaseRow]) -> None:
        """Shows the cases that can be taken."""
        self.lines.replace([
            TitleLine(
                row.id,
                " ".join(f"{row.number}  {row.concern}".split())[:200],
                ", ".join(filter(None, (row_vehicle(row), term("state", row.state)))),
                "finding",
            )
            for row in rows
        ])  # fmt: skip
        count = ngettext("{n} case; Enter takes one", "{n} cases; Enter takes one", len(rows)).format(n=len(rows))
        self.head.set_text(self._title, count if rows else self._remark)
        self.notes.put(None if rows else Note(self._theme, "info", "plain", *self._empty))
        self.list.pick(0)
