"""The theme in force: what the user chose, what the system shows, and the look both make; changed live."""

from typing import Final, Literal, get_args

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtWidgets import QApplication

from kbapp.desktop.theme.fonts import load_fonts
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.palette import palette
from kbapp.desktop.theme.qss import style_sheet
from kbapp.desktop.theme.tokens import SizeName, ThemeName

ThemeChoice = Literal["light", "dark", "system"]
THEME_CHOICES: Final[tuple[ThemeChoice, ...]] = get_args(ThemeChoice)
SIZE_CHOICES: Final[tuple[SizeName, ...]] = get_args(SizeName)


class Theme(QObject):
    """Applies a look to the application and says when it changes."""

    changed = Signal()

    def __init__(
        self,
        app: QApplication,
        choice: ThemeChoice = "system",
        size: SizeName = "desk",
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent or app)
        self._app = app
        self._choice = choice
        self._size = size
        load_fonts()
        app.setStyle("Fusion")
        app.styleHints().colorSchemeChanged.connect(self._follow)
        self._apply()

    @property
    def look(self) -> Look:
        """The look in force."""
        return self._look

    @property
    def choice(self) -> ThemeChoice:
        """What the user chose."""
        return self._choice

    @property
    def size(self) -> SizeName:
        """The size in force."""
        return self._size

    def choose(self, choice: ThemeChoice) -> None:
        """Changes the theme for the whole program."""
        if choice != self._choice:
            self._choice = choice
            self._apply()

    def resize(self, size: SizeName) -> None:
        """Changes the size for the whole program."""
        if size != self._size:
            self._size = size
            self._apply()

    @Slot()
    def _follow(self) -> None:
        if self._choice == "system" and self._shown() != self._look.theme:
            self._apply()

    def _shown(self) -> ThemeName:
        if self._choice != "system":
            return self._choice
        dark = self._app.styleHints().colorScheme() == Qt.ColorScheme.Dark
        return "dark" if dark else "light"

    def _apply(self) -> None:
        self._look = Look(self._shown(), self._size)
        self._app.setPalette(palette(self._look))
        self._app.setFont(self._look.font())
        self._app.setStyleSheet(style_sheet(self._look))
        self.changed.emit()
