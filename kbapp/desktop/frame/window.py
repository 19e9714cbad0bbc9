"""The main window: practice bar, thumb index, one screen at a time; keys, menu, and what a window remembers."""

from functools import partial
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QCloseEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from kbapp.app.places import PRACTICE
from kbapp.desktop.context import Context
from kbapp.desktop.frame.behind import BEHIND
from kbapp.desktop.frame.menu import SIZE_NAMES, THEME_NAMES, WindowMenu
from kbapp.desktop.frame.thumb_index import ThumbIndex
from kbapp.desktop.frame.window_memory import WindowMemory
from kbapp.desktop.keys import action, bound, screen_keys
from kbapp.desktop.presenter import Presenter
from kbapp.desktop.screens import Screen, all_screens
from kbapp.desktop.theme.theme import THEME_CHOICES
from kbapp.desktop.theme.tokens import NARROW_BELOW
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.focus_ring import FocusRing
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.practice_bar import PracticeBar
from kbapp.i18n import _, ngettext
from kbapp.wording import sentence

if TYPE_CHECKING:
    from kbapp.desktop.program import Program

LEAST: Final = (1024, 700)


class MainWindow(QWidget):
    """One window on the book; several may be open."""

    def __init__(self, program: "Program", app: QApplication, place: int = 0) -> None:
        super().__init__()
        self._program = program
        self.place = place
        """Which of the program's windows this is, from 0."""
        theme = program.theme
        self._theme = theme
        self._entries = {entry.key: entry for entry in (*all_screens(), *BEHIND)}
        self._tabbed = {entry.key for entry in all_screens()}
        self._pages: dict[str, Screen] = {}
        self._current, self._before = "", all_screens()[0].key
        self._memory = WindowMemory(program.window_state, place)
        self.context = Context(theme, program.tasks, program.book, Presenter(theme), self.go, program.preferences)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setAutoFillBackground(True)
        self.setMinimumSize(640, 480)
        self.practice_bar = PracticeBar(theme)
        self.index = ThumbIndex(theme, all_screens())
        self.index.chosen.connect(self.go)
        self.index.menu_wanted.connect(self.open_menu)
        self._stack = QStackedWidget()
        self._lay_out()
        self.ring = FocusRing(theme, self, app)
        self._actions = self._make_actions()
        self.menu = WindowMenu(theme, self, self._actions)
        self._follow_book()
        theme.changed.connect(self._relook)
        self._relook()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 6, 6)
        row.setSpacing(0)
        row.addWidget(self.index)
        row.addWidget(self._stack, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.practice_bar)
        column.addLayout(row, 1)

    def _make_actions(self) -> dict[str, QAction]:
        made = {
            "menu": action("menu", self, self.open_menu),
            "next-pane": action("next-pane", self, lambda: self._step_pane(1)),
            "previous-pane": action("previous-pane", self, lambda: self._step_pane(-1)),
            "question": action("question", self, lambda: self.go("look")),
            "find-visit": action("find-visit", self, lambda: self.go("bench", "find")),
            "start-concern": action("start-concern", self, lambda: self.go("triage")),
            "jot": action("jot", self, lambda: self.go("jot")),
            "undo": action("undo", self, lambda: self._pages[self._current].undo()),
            "redo": action("redo", self, lambda: self._pages[self._current].redo()),
            "open-book": action("open-book", self, lambda: self.go("open-book")),
            "settings": action("settings", self, lambda: self.go("settings")),
            "search-help": action("search-help", self, lambda: self.go("help", "search")),
            "wider": action("wider", self, lambda: self._widen(5)),
            "tighter": action("tighter", self, lambda: self._widen(-5)),
            "new-window": action("new-window", self, self._program.new_window),
            "close-window": action("close-window", self, self.close),
            "quit": action("quit", self, self._program.quit),
            "help": action("help", self, self.open_help),
            "keys": action("keys", self, lambda: self.go("keys")),
            "back": action("back", self, self.leave),
            "theme-next": action("theme-next", self, self._next_theme),
        }
        screens = all_screens()
        for entry, keys in zip(screens, screen_keys(len(screens)), strict=True):
            words = _("Go to {screen}").format(screen=_(entry.name))
            made[f"screen-{entry.key}"] = bound(self, keys, words, partial(self.go, entry.key))
        about = QAction(_("About Provebook"), self)
        about.triggered.connect(lambda _on=False: self.go("about"))
        made["about"] = about
        bring = QAction(_("Bring old records in"), self)
        bring.triggered.connect(lambda _on=False: self.go("import"))
        made["import"] = bring
        for size, name in SIZE_NAMES.items():
            made[f"size-{size}"] = action(f"size-{size}", self, partial(self._program.resize, size), _(name))
        for choice, name in THEME_NAMES.items():
            entry_action = QAction(_(name), self)
            entry_action.triggered.connect(lambda _on=False, c=choice: self._program.choose_theme(c))
            made[f"theme-{choice}"] = entry_action
        return made

    # -- screens

    def screen_of(self, key: str) -> Screen:
        """Returns a screen, built when it is first asked for."""
        if key not in self._pages:
            page = self._entries[key].build(self.context)
            page.restore(self._memory.screen(key))
            self._pages[key] = page
            self._stack.addWidget(page)
        return self._pages[key]

    def go(self, key: str, value: object = None) -> None:
        """Shows a screen and hands it a value."""
        page = self.screen_of(key)
        if self._current != key:
            if self._current in self._pages:
                self._pages[self._current].gone()
            self._before = self._current if self._current in self._tabbed else self._before
            self._current = key
        self._actions["question"].setEnabled(key != "look")  # Look First has this key itself
        self._stack.setCurrentWidget(page)
        self.index.show_open(key)
        self.setWindowTitle(_("{screen} – Provebook").format(screen=_(self._entries[key].name)))
        page.arrive(value)
        page.first().setFocus(Qt.FocusReason.ShortcutFocusReason)

    @property
    def current(self) -> str:
        """The key of the screen that is shown."""
        return self._current

    def leave(self) -> None:
        """Leaves an open panel of the screen, or goes back from a page that is not in the index."""
        if not self._pages[self._current].leave() and self._current not in self._tabbed:
            self.go(self._before)

    def open_help(self) -> None:
        """Shows the help page of the screen."""
        self.go("help", self._entries[self._current].help_page if self._current else "")

    def open_menu(self) -> None:
        """Opens the menu beside its tab."""
        tab = self.index.menu_tab
        height = self.menu.sizeHint().height()
        self.menu.popup(tab.mapToGlobal(QPoint(tab.width(), tab.height() - height)))

    def _step_pane(self, step: int) -> None:
        panes = [pane for pane in self._pages[self._current].panes() if pane.isVisible()]
        focus = QApplication.focusWidget()
        inside = [n for n, pane in enumerate(panes) if focus is pane or (focus and pane.isAncestorOf(focus))]
        place = (inside[-1] + step if inside else 0) % len(panes) if panes else 0
        if panes:
            panes[place].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _widen(self, pitches: int) -> None:
        pane: QWidget | None = QApplication.focusWidget()
        while pane is not None and not isinstance(pane.parentWidget(), QSplitter):
            pane = pane.parentWidget()
        if pane is None:
            return
        splitter = pane.parentWidget()
        assert isinstance(splitter, QSplitter)
        sizes, place = splitter.sizes(), splitter.indexOf(pane)
        other = place + 1 if place + 1 < len(sizes) else place - 1
        step = self._theme.look.pitches(pitches)
        sizes[place], sizes[other] = sizes[place] + step, sizes[other] - step
        splitter.setSizes(sizes)

    def _next_theme(self) -> None:
        place = THEME_CHOICES.index(self._theme.choice)
        self._program.choose_theme(THEME_CHOICES[(place + 1) % len(THEME_CHOICES)])

    # -- the book

    def _follow_book(self) -> None:
        book = self._program.book
        self.practice_bar.setVisible(book.location == PRACTICE)
        book.opened.connect(self._opened)
        book.failed.connect(self._failed)
        book.counted.connect(self._counted)
        book.leaving.connect(self._drop_pages)
        book.replaced.connect(self._replaced)
        if book.state == "open":
            self._opened()

    def _opened(self) -> None:
        info = self._program.book.info
        if info is not None:
            self.practice_bar.setVisible(info.practice)
        for page in self._pages.values():
            if not self._program.preferences.damaged:
                page.notes.put(None)
        self._warn()
        self._counted(self._program.book.cases)

    def _drop_pages(self) -> None:
        """Brings what the screens hold into safety and takes them away: another book takes the place of this one."""
        for key, page in self._pages.items():
            page.closing()
            self._memory.keep_screen(key, page.keep())
            self._stack.removeWidget(page)
            page.hide()
            page.deleteLater()
        self._pages.clear()

    def _replaced(self) -> None:
        shown = self._before if self._current not in self._tabbed else self._current
        self._current = ""
        self.go(shown)
        self._opened()

    def _warn(self) -> None:
        info = self._program.book.info
        if info is not None and info.warnings and self._current:
            fact, *rest = map(sentence, info.warnings)
            self._tell(fact, "\n".join(rest))

    def _tell(self, fact: str, hint: str) -> None:
        page = self._pages[self._current]
        close = Button(self._theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: page.notes.put(None))
        page.notes.put(Note(self._theme, "guard", "caution", fact, hint, [close]))

    def _counted(self, cases: int) -> None:
        info = self._program.book.info
        if info is None:
            return
        words = [ngettext("{n} case", "{n} cases", cases).format(n=f"{cases:,}")]
        if info.author:
            words.append(info.author)
        self.index.say_book(_("Book: {name}").format(name=info.name or info.shop.name), "  ·  ".join(words))

    def _failed(self, error: Exception) -> None:
        page = self._pages[self._current]
        self.context.presenter.show(error, page.notes, self._program.book.open)

    # -- looks and memory

    def _relook(self) -> None:
        narrow = self.width() < NARROW_BELOW or self._theme.size != "desk"
        self.index.set_compact(compact=narrow)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Chooses between names and short words."""
        super().resizeEvent(event)
        self._relook()

    def restore(self) -> bool:
        """Takes over place and screen from the last time, then shows the screen; returns whether there was a place."""
        known = self._memory.restore_window(self, LEAST)
        key = self._memory.last_screen()
        first = key if key in self._tabbed else all_screens()[0].key
        # who asks for the practice book wants to try it: the questions of a first run wait for a book of one's own
        asked = self._program.preferences.first_run and self._program.book.location != PRACTICE
        self.go("welcome" if asked else first)
        if self._program.preferences.damaged:
            self._tell(
                _("The settings of this PC cannot be read"), _("The defaults hold. What you set now is kept again.")
            )
        return known

    def closeEvent(self, event: QCloseEvent) -> None:
        """Remembers place and screens."""
        for page in self._pages.values():
            page.closing()
        shown = self._current if self._current in self._tabbed else self._before
        self._memory.keep(self, shown, {key: page.keep() for key, page in self._pages.items()})
        super().closeEvent(event)
