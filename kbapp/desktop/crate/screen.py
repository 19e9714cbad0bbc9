"""The Case Crate: make a pack, read one, the shop's key, and what came and went."""

from pathlib import Path
from typing import Final

from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop import keys
from kbapp.desktop.context import Context
from kbapp.desktop.crate.history_page import HistoryPage
from kbapp.desktop.crate.key_page import KeyPage
from kbapp.desktop.crate.make_page import MakePage
from kbapp.desktop.crate.read_page import ReadPage
from kbapp.desktop.screens import Screen
from kbapp.desktop.widgets.choice import Choice
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.paper import Paper
from kbapp.i18n import N_, _

Page = MakePage | ReadPage | KeyPage | HistoryPage
PARTS: Final = {
    "make": N_("Make a pack"), "read": N_("Read a pack"), "key": N_("The shop's key"), "history": N_("History"),
}  # fmt: skip


class CrateScreen(Screen):
    """Exchange of cases with other shops."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Case Crate"), _("Cases for other shops, and theirs for yours"))
        theme = context.theme
        self.choice = Choice(theme, _("Part of the Case Crate"), {key: _(words) for key, words in PARTS.items()})
        self.make = MakePage(context, self.notes)
        self.read = ReadPage(context, self.notes)
        self.key = KeyPage(context, self.notes)
        self.history = HistoryPage(context, self.notes)
        self.practice = Note(
            theme, "info", "plain",
            _("The practice book neither makes nor takes packs; open your own book to exchange cases."),
        )  # fmt: skip
        self._pages: dict[str, Page] = {
            "make": self.make, "read": self.read, "key": self.key, "history": self.history,
        }  # fmt: skip
        self.part = "make"
        self._lay_out()
        self.setAcceptDrops(True)
        self.choice.chosen.connect(self.show_part)
        self.choice.show_chosen(self.part)
        context.book.changed.connect(self._changed)
        context.book.opened.connect(self._opened)
        keys.bound(self, keys.key("record").sequences, _("Do what comes next with the pack"), self._record)

    def _lay_out(self) -> None:
        self.bar = Paper(self.context.theme)
        inner = QVBoxLayout(self.bar)
        inner.setContentsMargins(8, 4, 8, 4)
        inner.addWidget(self.choice)
        self.stack = QStackedWidget()
        for page in self._pages.values():
            self.stack.addWidget(page)
        self.rest = Paper(self.context.theme)
        column = QVBoxLayout(self.rest)
        column.setContentsMargins(0, 8, 0, 0)
        column.addWidget(self.practice)
        column.addStretch()
        self.body.addWidget(self.bar)
        self.body.addWidget(self.stack, 1)
        self.body.addWidget(self.rest, 1)
        self._show_practice()

    @property
    def _practice(self) -> bool:
        info = self.context.book.info
        return info is not None and info.practice

    def _show_practice(self) -> None:
        practice = self._practice
        self.bar.setVisible(not practice)
        self.stack.setVisible(not practice)
        self.rest.setVisible(practice)

    @property
    def page(self) -> Page:
        """The part that is shown."""
        return self._pages[self.part]

    # -- showing

    def show_part(self, part: str) -> None:
        """Shows a part; a note of another part goes, but nothing that is under way is stopped."""
        if part != self.part and not self._busy:
            self.notes.put(None)
        self.part = part
        self.choice.show_chosen(part)
        self.stack.setCurrentWidget(self.page)
        self._arrive_at(self.page)

    @property
    def _busy(self) -> bool:
        return any(not page.idle for page in self._pages.values())

    def _arrive_at(self, page: Page) -> None:
        if isinstance(page, ReadPage) or self.context.book.state != "open" or self._practice:
            return
        page.arrive()

    def arrive(self, value: object) -> None:
        """Shows the part that was left; a path or the name of a part may be handed over."""
        self._show_practice()
        if isinstance(value, Path) and not self._practice:
            self._take_path(value)
        elif isinstance(value, str) and value in PARTS:
            self.show_part(value)
        elif self.isVisible() and not (self.part == "make" and self.make.choosing.list.lines.rows):
            self._arrive_at(self.page)

    def _opened(self) -> None:
        self._show_practice()
        if self.isVisible():
            self._arrive_at(self.page)

    def _changed(self, changes: ChangeSet) -> None:
        if changes.cases and not self._practice:
            self.make.book_changed(changes)
            if self.isVisible() and self.part == "history":
                self.history.arrive()

    # -- a file dropped on the page

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Takes one file of this PC."""
        if not self._practice and _dropped(event) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Looks into the pack that was dropped."""
        path = _dropped(event)
        if path is not None and not self._practice:
            event.acceptProposedAction()
            self._take_path(path)

    def _take_path(self, path: Path) -> None:
        self.show_part("read")
        self.read.look_into(path)

    # -- the frame's questions

    def _record(self) -> None:
        if not self._practice:
            self.page.record()

    def first(self) -> QWidget:
        """Returns what has the keyboard first."""
        return self if self._practice else self.page.first()

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the parts and the panes of the one shown."""
        return (self,) if self._practice else (self.choice.buttons[self.part], *self.page.panes())

    def leave(self) -> bool:
        """Goes a step back inside a part."""
        return not self._practice and self.page.leave()

    def keep(self) -> dict[str, object]:
        """Returns the part that is shown."""
        return {"part": self.part}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes over the part."""
        if kept.get("part") in PARTS:
            self.part = str(kept["part"])
            self.choice.show_chosen(self.part)
            self.stack.setCurrentWidget(self.page)


def _dropped(event: QDropEvent) -> Path | None:
    urls = event.mimeData().urls()
    return Path(urls[0].toLocalFile()) if len(urls) == 1 and urls[0].isLocalFile() else None
