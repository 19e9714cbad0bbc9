"""The running program: theme, work, the book, its windows; everything a window shares with the others."""

from pathlib import Path
from typing import cast, get_args

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QApplication

from kbapp.app.settings import Settings, read_settings, write_settings
from kbapp.desktop.frame.window import MainWindow
from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.tasks import Tasks
from kbapp.desktop.theme.theme import Theme, ThemeChoice
from kbapp.desktop.theme.tokens import SizeName
from kbapp.errors import KbError


class Program(QObject):
    """Opens windows and the book; closes them in order."""

    def __init__(self, app: QApplication, location: str, *, author: str, window_state: Path, settings: Path) -> None:
        super().__init__(app)
        self._app = app
        self._settings_path = settings
        self._settings, _damaged = read_settings(settings)
        self.window_state = window_state
        self.theme = Theme(app, self._settings.theme, self._settings.size, self)
        self.tasks = Tasks(self)
        self.tasks.unhandled.connect(self.show_error)
        self.book = OpenBook(self.tasks, location, author, self)
        self.windows: list[MainWindow] = []

    def start(self) -> MainWindow:
        """Shows the first window, then starts opening the book."""
        window = self.new_window()
        QTimer.singleShot(0, self.book.open)
        return window

    def new_window(self) -> MainWindow:
        """Shows another window on the same book."""
        window = MainWindow(self, self._app)
        self.windows.append(window)
        window.destroyed.connect(lambda _gone=None, w=window: self._forget(w))
        window.restore()
        if len(self.windows) > 1:
            window.move(self.windows[-2].pos().x() + 32, self.windows[-2].pos().y() + 32)
        window.show()
        return window

    def _forget(self, window: MainWindow) -> None:
        self.windows = [other for other in self.windows if other is not window]

    def show_error(self, error: BaseException) -> None:
        """Shows an error on the screen of the window in front."""
        for window in reversed(self.windows):
            place: NotePlace = window.screen_of(window.current).notes
            window.context.presenter.show(error, place)
            return

    def resize(self, size: str) -> None:
        """Changes the size everywhere and keeps the choice."""
        if size in get_args(SizeName):
            self.theme.resize(cast("SizeName", size))
            self._keep(size=size)

    def choose_theme(self, choice: str) -> None:
        """Changes the theme everywhere and keeps the choice."""
        if choice in get_args(ThemeChoice):
            self.theme.choose(cast("ThemeChoice", choice))
            self._keep(theme=choice)

    def _keep(self, **changes: str) -> None:
        self._settings = Settings.model_validate({**self._settings.plain(), **changes})
        settings, path = self._settings, self._settings_path
        self.tasks.run("draft", self, lambda _control: write_settings(path, settings), failed=self._not_kept)

    def _not_kept(self, error: Exception) -> None:
        if isinstance(error, KbError):
            self.show_error(error)

    def quit(self) -> None:
        """Closes every window; the program ends with the last."""
        for window in tuple(self.windows):
            window.close()

    def close(self) -> None:
        """Ends work and closes the book."""
        self.book.close()
