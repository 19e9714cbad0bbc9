"""The menu: sizes, themes, windows, help; every entry shows its key."""

from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from kbapp.desktop.theme.theme import Theme
from kbapp.i18n import N_, _

SIZE_NAMES = {"desk": N_("Desk"), "bay": N_("Bay"), "across": N_("Across the bay")}
THEME_NAMES = {"light": N_("Light"), "dark": N_("Dark"), "system": N_("As the system")}


class WindowMenu(QMenu):
    """Built from the window's actions; groups tick what is in force."""

    def __init__(self, theme: Theme, window: QWidget, actions: dict[str, QAction]) -> None:
        super().__init__(window)
        self._theme = theme
        self._ticks: list[tuple[QAction, str]] = []
        self.setAccessibleName(_("Menu"))
        self._group(_("Size"), "size", actions, ("desk", "bay", "across"))
        self._group(_("Theme"), "theme", actions, ("light", "dark", "system"))
        for names in (
            ("settings", "open-book", "import"), ("undo", "redo"), ("wider", "tighter", "new-window", "close-window"),
            ("help", "search-help", "keys", "about"),
        ):  # fmt: skip
            self.addSeparator()
            for name in names:
                self.addAction(actions[name])
        self.addSeparator()
        self.addAction(actions["quit"])
        self.aboutToShow.connect(self._tick)

    def _group(self, title: str, kind: str, actions: dict[str, QAction], names: tuple[str, ...]) -> None:
        menu = self.addMenu(title)
        menu.setAccessibleName(title)
        group = QActionGroup(self)
        for name in names:
            entry = actions[f"{kind}-{name}"]
            entry.setCheckable(True)
            group.addAction(entry)
            menu.addAction(entry)
            self._ticks.append((entry, f"{kind}-{name}"))

    def _tick(self) -> None:
        now = {f"size-{self._theme.size}", f"theme-{self._theme.choice}"}
        for entry, name in self._ticks:
            entry.setChecked(name in now)
