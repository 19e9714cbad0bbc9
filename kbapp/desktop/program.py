"""The running program: theme, work, the book, its windows; everything a window shares with the others."""

from pathlib import Path
from typing import get_args

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QApplication

from kbapp.app.settings import Settings
from kbapp.desktop.frame.window import MainWindow
from kbapp.desktop.frame.window_memory import keep_windows, kept_windows
from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.preferences import Preferences
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.tasks import Control, Tasks
from kbapp.desktop.theme.theme import Theme, ThemeChoice
from kbapp.desktop.theme.tokens import SizeName


class Program(QObject):
    """Opens windows and the book; closes them in order."""

    def __init__(self, app: QApplication, location: str, *, author: str, window_state: Path, settings: Path) -> None:
        super().__init__(app)
        self._app = app
        self.window_state = window_state
        self.tasks = Tasks(self)
        self.tasks.unhandled.connect(self.show_error)
        self.preferences = Preferences(settings, self.tasks, self)
        self.preferences.changed.connect(self._take_over)
        self.preferences.failed.connect(self.show_error)
        self.theme = Theme(app, self.preferences.now.theme, self.preferences.now.size, self)
        self._author = author
        self.book = OpenBook(self.tasks, location, author, self)
        self.book.opened.connect(self._note_book)
        self.book.replaced.connect(self._note_book)
        self.windows: list[MainWindow] = []
        self._leaving = False

    def start(self) -> MainWindow:
        """Shows the first window, then starts opening the book."""
        window = self.new_window()
        for _more in range(1, kept_windows(self.window_state)):
            self.new_window()
        QTimer.singleShot(0, self.book.open)
        return window

    def new_window(self) -> MainWindow:
        """Shows another window on the same book."""
        window = MainWindow(self, self._app, self._free_place())
        self.windows.append(window)
        window.destroyed.connect(lambda _gone=None, w=window: self._forget(w))
        known = window.restore()
        if len(self.windows) > 1 and not known:
            window.move(self.windows[-2].pos().x() + 32, self.windows[-2].pos().y() + 32)
        window.show()
        return window

    def _free_place(self) -> int:
        taken = {window.place for window in self.windows}
        return next(place for place in range(len(taken) + 1) if place not in taken)

    def _forget(self, window: MainWindow) -> None:
        self.windows = [other for other in self.windows if other is not window]
        if self.windows and not self._leaving:
            keep_windows(self.window_state, len(self.windows))

    def show_error(self, error: BaseException) -> None:
        """Shows an error on the screen of the window in front."""
        for window in reversed(self.windows):
            place: NotePlace = window.screen_of(window.current).notes
            window.context.presenter.show(error, place)
            return

    def resize(self, size: str) -> None:
        """Changes the size everywhere and keeps the choice."""
        if size in get_args(SizeName):
            self.preferences.change(size=size)

    def choose_theme(self, choice: str) -> None:
        """Changes the theme everywhere and keeps the choice."""
        if choice in get_args(ThemeChoice):
            self.preferences.change(theme=choice)

    def _take_over(self, settings: Settings) -> None:
        self.theme.resize(settings.size)
        self.theme.choose(settings.theme)
        if settings.author and settings.author != self._author:
            self._author = settings.author
            self.book.sign_as(settings.author)

    def _note_book(self) -> None:
        location = self.book.location

        def work(_control: Control) -> None:
            from kbapp.app.recent_books import books_file, note_opened

            note_opened(books_file(), location)

        self.tasks.run("draft", self, work)

    def quit(self) -> None:
        """Closes every window; the program ends with the last, and as many come back at the next start."""
        if self.windows and not self._leaving:
            keep_windows(self.window_state, len(self.windows))
        self._leaving = True
        for window in tuple(self.windows):
            window.close()

    def close(self) -> None:
        """Ends work and closes the book."""
        self.book.close()
