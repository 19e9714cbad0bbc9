"""Help: the pages of docs/ rendered inside the program; links lead from page to page and nowhere else."""

from pathlib import Path, PurePosixPath

from PySide6.QtCore import Qt, QUrl
from PySide6.QtWidgets import QSplitter, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.markdown import safe_html
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Control, Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.page_text import PageText
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine
from kbapp.i18n import _


def read_pages(folder: Path) -> tuple[TitleLine, ...]:
    """Returns the help pages of a folder: file name and first heading, the folder's own pages before deeper ones."""
    pages = []
    for path in sorted(folder.rglob("*.md"), key=lambda p: (len(p.relative_to(folder).parts), p.as_posix())):
        name = path.relative_to(folder).as_posix()
        with path.open(encoding="utf-8") as lines:
            title = next((line[2:].strip() for line in lines if line.startswith("# ")), PurePosixPath(name).stem)
        pages.append(TitleLine(name, title))
    return tuple(pages)


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
        self._list = LinesModel[TitleLine](lambda line: line.title, self)
        self.pages = Lines(context.theme, _("Help pages"), margin=False)
        self.pages.setModel(self._list)
        self.pages.setItemDelegate(TitleDelegate(context.theme, self.pages))
        self.pages.picked.connect(lambda row: self._show(self._list.rows[row].key))
        self.text = PageText(context.theme, _("Help text"), grows=False)
        self.text.anchorClicked.connect(self._follow)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(self.pages)
        split.addWidget(self.text)
        split.setHandleWidth(8)
        split.setChildrenCollapsible(False)
        split.setSizes([280, 800])
        self.body.addWidget(split, 1)

    def arrive(self, value: object) -> None:
        """Shows a page by its name, or the first."""
        self._wanted = value if isinstance(value, str) else ""
        if self._list.rows:
            self._pick()
            return

        def work(_control: Control) -> tuple[Path, tuple[TitleLine, ...]]:
            from kbapp.resources import resource

            folder = resource("docs")
            return folder, read_pages(folder)

        self._read.ask(work, self._listed, self._missing)

    def _listed(self, found: tuple[Path, tuple[TitleLine, ...]]) -> None:
        self._folder, rows = found
        self._list.replace(rows)
        if rows:
            self._pick()
        else:
            self._missing(FileNotFoundError())

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
        self.pages.pick(names.index(self._wanted) if self._wanted in names else 0)

    def _show(self, name: str) -> None:
        folder = self._folder
        if folder is None or name == self._shown:
            return

        def work(_control: Control) -> str:
            return safe_html((folder / name).read_text(encoding="utf-8"), inner_links=True)

        def done(html: str) -> None:
            self._shown = name
            self.text.show_html(html)

        self._read.ask(work, done, self._missing)

    def _follow(self, link: QUrl) -> None:
        self._wanted = page_beside(self._shown, link.toString())
        if self._wanted:
            self._pick()

    def first(self) -> QWidget:
        """Returns the list of pages."""
        return self.pages

    def panes(self) -> tuple[QWidget, ...]:
        """Returns list and text."""
        return (self.pages, self.text)
