"""Where no case is open: the open cases of the book, to take one in hand."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.tasks import Latest, Tasks
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine
from kbapp.i18n import _, ngettext

if TYPE_CHECKING:
    from kbapp.app.session import Session

MOST = 200


def open_cases(session: "Session") -> tuple[TitleLine, ...]:
    """Returns the cases that are open or came back, the newest first."""
    from kbapp.app.text_answer import row_vehicle
    from kbapp.app.views import CaseFilter
    from kbapp.wording.terms import term

    rows = session.list_cases(CaseFilter(states=("open", "came_back")), limit=MOST)
    return tuple(
        TitleLine(
            row.id,
            " ".join((f"{row.number}  {' '.join(row.concern.split())}").split())[:200],
            ", ".join(filter(None, (row_vehicle(row), term("state", row.state) if row.state != "open" else ""))),
            "split",
        )
        for row in rows
    )


class Picker(QWidget):
    """A list of open cases. ``chosen`` is sent with the id of one."""

    chosen = Signal(str)
    failed = Signal(object)

    def __init__(self, theme: Theme, book: OpenBook, tasks: Tasks) -> None:
        super().__init__()
        self._theme, self._book = theme, book
        self._reading = Latest(tasks, self)
        self.head = SectionHead(theme, _("Open cases"))
        self.notes = NotePlace(theme)
        self.lines = LinesModel[TitleLine](lambda row: f"{row.title}. {row.remark}", self)
        self.list = Lines(theme, _("Open cases"), margin=False, whole=True)
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

    def load(self) -> None:
        """Reads the open cases."""
        if self._book.state == "open":
            work = self._book.bound(lambda session, _control: open_cases(session))
            self._reading.ask(work, self._show, self.failed.emit)

    def _show(self, rows: tuple[TitleLine, ...]) -> None:
        n = len(rows)
        self.head.set_text(
            _("Open cases"), ngettext("{n} case; Enter opens one", "{n} cases; Enter opens one", n).format(n=n)
        )
        if rows != self.lines.rows:
            self.lines.replace(rows)
        note = None
        if not rows:
            hint = _("Jot a case down, or open one from Look First.")
            note = Note(self._theme, "split", "plain", _("No case is open"), hint)
        self.notes.put(note)
