"""Help: the pages of docs/ rendered inside the program; links lead from page to page and nowhere else."""

from pathlib import Path, PurePosixPath

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QTextCursor
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.frame.help_search import Page, read_help, search
from kbapp.desktop.markdown import safe_html
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Control, Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.page_text import PageText
from kbapp.desktop.widgets.paper import Paper
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine
from kbapp.i18n import _


def page_beside(page: str, link: str) -> str:
    """Returns the page a relative link on ``page`` leads to, or an empty text for anything else."""
    target = link.partition("#")[0]
    if not target.endswith(".md") or ":" in target or target.startswith("/"):
        return ""
    parts: list[str] = []
    for part in (*PurePosixPath(page).parent.parts, *PurePosixPath(target).parts):
        if part == "..":
            if not parts:
                return ""
            parts.pop()
        elif part != ".":
            parts.append(part)
    return "/".join(parts)


class HelpPage(Screen):
    """A list of pages left, the page right."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Help"))
        back = Button(context.theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(back)
        self._folder: Path | None = None
        self._wanted = ""
        self._shown = ""
        self._read = Latest(context.tasks, self)
        self._pages: tuple[Page, ...] = ()
        self._list = LinesModel[TitleLine](lambda line: ". ".join(filter(None, (line.title, line.remark))), self)
        self.search = ValueEdit(context.theme, _("Search the help"))
        self.search.setPlaceholderText(_("Search all pages"))
        self.search.textChanged.connect(self._search)
        self.search.returnPressed.connect(self._to_pages)
        self.pages = Lines(context.theme, _("Help pages"), margin=False)
        self.pages.setModel(self._list)
        self.pages.setItemDelegate(TitleDelegate(context.theme, self.pages))
        self.pages.picked.connect(lambda row: self._show(self._list.rows[row].key))
        self.text = PageText(context.theme, _("Help text"), grows=False)
        self.text.anchorClicked.connect(self._follow)
        split = QSplitter(Qt.Orientation.Horizontal)
        left = Paper(context.theme)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        top = QVBoxLayout()
        top.setContentsMargins(8, 8, 8, 8)
        top.addWidget(self.search)
        column.addLayout(top)
        column.addWidget(self.pages, 1)
        split.addWidget(left)
        split.addWidget(self.text)
        split.setHandleWidth(8)
        split.setChildrenCollapsible(False)
        split.setSizes([320, 780])
        self.body.addWidget(split, 1)

    def arrive(self, value: object) -> None:
        """Shows a page by its name, or the first; ``search`` goes to the search line."""
        if value == "search":
            self.search.selectAll()
        else:
            self._wanted = value if isinstance(value, str) else ""
            self.search.clear()
        if self._pages:
            self._pick()
            return

        def work(_control: Control) -> tuple[Path, tuple[Page, ...]]:
            from kbapp.resources import resource

            folder = resource("docs")
            return folder, read_help(folder)

        self._read.ask(work, self._listed, self._missing)

    def _listed(self, found: tuple[Path, tuple[Page, ...]]) -> None:
        self._folder, self._pages = found
        if self._pages:
            self._search()
        else:
            self._missing(FileNotFoundError())

    def _search(self) -> None:
        rows = search(self._pages, self.search.text())
        self._list.replace(rows)
        self._pick()
        if rows or not self._pages:
            self.notes.put(None)
        else:
            fact = _("No page of the help holds all these words")
            self.notes.put(Note(self.context.theme, "help", "plain", fact, _("Try fewer or other words.")))

    def _to_pages(self) -> None:
        if self._list.rows:
            self.pages.setFocus()

    def _missing(self, error: Exception) -> None:
        if isinstance(error, FileNotFoundError):
            fact = _("The help pages are missing from this installation.")
            self.notes.put(
                Note(self.context.theme, "help", "caution", fact, _("Installing Provebook again brings them back."))
            )
        else:
            self.context.presenter.show(error, self.notes)

    def _pick(self) -> None:
        names = [line.key for line in self._list.rows]
        if names:
            self.pages.pick(names.index(self._wanted) if self._wanted in names else 0)

    def _show(self, name: str) -> None:
        folder = self._folder
        if folder is None or name == self._shown:
            self._to_words()
            return

        def work(_control: Control) -> str:
            return safe_html((folder / name).read_text(encoding="utf-8"), inner_links=True)

        def done(html: str) -> None:
            self._shown = name
            self.text.show_html(html)
            self._to_words()

        self._read.ask(work, done, self._missing)

    def _to_words(self) -> None:
        """Shows where the page says what was searched for."""
        words = self.search.text().split()
        if words:
            self.text.moveCursor(QTextCursor.MoveOperation.Start)
            self.text.find(max(words, key=len))

    def _follow(self, link: QUrl) -> None:
        self._wanted = page_beside(self._shown, link.toString())
        if self._wanted:
            self.search.clear()
            self._pick()

    def first(self) -> QWidget:
        """Returns the search line."""
        return self.search

    def panes(self) -> tuple[QWidget, ...]:
        """Returns search line, list and text."""
        return (self.search, self.pages, self.text)
