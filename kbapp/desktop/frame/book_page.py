"""Opens another book in place of this one: a folder, a server's address, the practice book, or one of those before."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from kbapp.app.places import PRACTICE, places
from kbapp.desktop.context import Context
from kbapp.desktop.forms.full_lines import title_list
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Control
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.form import EntryRow
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.paper import Paper
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.errors import KbError
from kbapp.i18n import _
from kbapp.wording import sentence

if TYPE_CHECKING:
    from kbapp.app.session import Session

_NO_BOOK = ("book_missing", "not_a_book")


class BookPage(Screen):
    """Where the book is opened from. What cannot be opened is a note; the book that is open stays open."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Open another book"))
        theme = context.theme
        self._opening = False
        back = Button(theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(back)
        self.where = EntryRow(theme, _("Where it lies"), _("a folder, or an address such as postgresql://server/book"))
        self.open_button = Button(theme, _("Open"), "primary")
        self.folder_button = Button(theme, _("Choose a folder"), "plain", "folder")
        self.start_button = Button(theme, _("Open this book at every start"), "quiet")
        self.list = title_list(theme, _("Books"))
        self._lay_out()
        self.open_button.clicked.connect(lambda: self.open(self.where.edit.text()))
        self.where.edit.returnPressed.connect(lambda: self.open(self.where.edit.text()))
        self.folder_button.clicked.connect(self._choose)
        self.start_button.clicked.connect(self._keep_for_start)
        self.list.opened.connect(lambda row: self.open(self.list.lines.rows[row].key))
        self.list.clicked.connect(lambda index: self.open(self.list.lines.rows[index.row()].key))

    def _lay_out(self) -> None:
        paper = Paper(self.context.theme)
        buttons = FlowRow(8)
        buttons.setContentsMargins(self.context.theme.look.metrics.pad + 4, 3, 8, 8)
        for button in (self.open_button, self.folder_button, self.start_button):
            buttons.addWidget(button)
        column = QVBoxLayout(paper)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.where)
        column.addLayout(buttons)
        page = PageScroll(self.context.theme, _("Open another book"))
        page.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        for widget in (paper, SectionHead(self.context.theme, _("Books"), _("press one to open it")), self.list):
            page.add(widget)
        page.column.addStretch()
        self.body.addWidget(page, 1)

    def arrive(self, value: object) -> None:
        """Shows which book is open and which were open before."""
        info = self.context.book.info
        if info is not None:
            self.head.set_remark(_("Open now: {where}").format(where=info.location))
        open_at_start = self.context.preferences.now.book
        self.start_button.setVisible(info is not None and not info.practice and open_at_start != self._kept_location())

        def work(_control: Control) -> tuple[str, ...]:
            from kbapp.app.recent_books import books_file, read_recent

            return read_recent(books_file())

        self.context.tasks.run("read", self, work, self._show)

    def _show(self, recent: tuple[str, ...]) -> None:
        own = str(places().own_book)
        rows = [
            TitleLine(own, _("Your own book"), own, "book"),
            TitleLine(PRACTICE, _("The practice book"), _("invented cases, kept apart from everything"), "book"),
            *(TitleLine(where, where, _("opened before"), "clock") for where in recent if where != own),
        ]
        self.list.show_rows(rows)

    def _choose(self) -> None:
        folder = QFileDialog.getExistingDirectory(self, _("Choose the folder of a book"))
        if folder:
            self.where.edit.setText(folder)
            self.open(folder)

    def _kept_location(self) -> str:
        from kbapp.app.recent_books import without_password

        location = self.context.book.location
        try:
            return without_password(location)
        except KbError:
            return location

    def _keep_for_start(self) -> None:
        self.context.preferences.change(book=self._kept_location())
        self.start_button.hide()
        self.say_kept("recorded")

    # -- opening

    def open(self, location: str) -> None:
        """Opens a book; what stands in the way is said in a note."""
        location = location.strip()
        if not location or self._opening:
            self.where.edit.setFocus()
            return
        self._open(location, None)

    def _open(self, location: str, make: "Callable[[str, str], Session] | None") -> None:
        self._opening = True
        self.open_button.setEnabled(False)
        wait = Note(
            self.context.theme, "clock", "info", _("Opening the book"), _("The one that is open stays until then.")
        )
        self.notes.put(wait)
        self.context.book.switch(location, lambda: None, lambda error: self._failed(location, error), make)

    def _failed(self, location: str, error: Exception) -> None:
        self._opening = False
        self.open_button.setEnabled(True)
        if isinstance(error, KbError) and error.code in _NO_BOOK:
            self._offer_new(location, error)
        else:
            self.context.presenter.show(error, self.notes)

    def _offer_new(self, location: str, error: KbError) -> None:
        new = Button(self.context.theme, _("Make a new book there"), "plain", "plus")
        new.clicked.connect(lambda: self._make(location))
        close = Button(self.context.theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: self.notes.put(None))
        fact, _sep, rest = sentence(error).partition("\n")
        self.notes.put(Note(self.context.theme, "guard", "danger", fact, rest, [new, close]))

    def _make(self, location: str) -> None:
        shop = self.context.preferences.now.shop_name

        def make(where: str, author: str) -> "Session":
            from kbapp.app.books import make_and_open

            return make_and_open(where, author, shop)

        self._open(location, make)

    def first(self) -> QWidget:
        """Returns the line to write where the book lies."""
        return self.where.edit

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the line and the list."""
        return (self.where.edit, self.list)
