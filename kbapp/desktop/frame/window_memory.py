"""What a window remembers between two runs: place, size, screen, panes. Kept in an ini file whose path is given."""

import json
from pathlib import Path
from typing import Final

from PySide6.QtCore import QByteArray, QSettings
from PySide6.QtWidgets import QWidget

MOST_WINDOWS: Final = 6


class WindowMemory:
    """Reads and writes the ini file; a damaged or missing one means the defaults.

    Windows have places of their own, from 0; what screens keep is shared by all.
    """

    def __init__(self, path: Path, place: int = 0) -> None:
        self._settings = QSettings(str(path), QSettings.Format.IniFormat)
        self._window = f"window{place + 1}" if place else "window"

    def restore_window(self, window: QWidget, least: tuple[int, int]) -> bool:
        """Gives a window its last place and size, or a usual size; returns whether there was one."""
        kept = self._settings.value(f"{self._window}/geometry")
        known = isinstance(kept, QByteArray) and window.restoreGeometry(kept)
        if not known:
            window.resize(1280, 800)
        window.resize(max(window.width(), least[0]), max(window.height(), least[1]))
        return known

    def last_screen(self) -> str:
        """Returns the key of the screen shown last, or an empty text."""
        kept = self._settings.value(f"{self._window}/screen", "")
        return kept if isinstance(kept, str) else ""

    def screen(self, key: str) -> dict[str, object]:
        """Returns what a screen kept."""
        text = self._settings.value(f"screens/{key}", "")
        try:
            kept = json.loads(text) if isinstance(text, str) and text else {}
        except ValueError:
            return {}
        return kept if isinstance(kept, dict) else {}

    def keep(self, window: QWidget, screen: str, kept: dict[str, dict[str, object]]) -> None:
        """Writes everything down."""
        self._settings.setValue(f"{self._window}/geometry", window.saveGeometry())
        self._settings.setValue(f"{self._window}/screen", screen)
        for key, values in kept.items():
            self.keep_screen(key, values)
        self._settings.sync()

    def keep_screen(self, key: str, values: dict[str, object]) -> None:
        """Notes what a screen keeps."""
        if values:
            self._settings.setValue(f"screens/{key}", json.dumps(values))


def kept_windows(path: Path) -> int:
    """Returns how many windows were open when the program was left, at least one."""
    kept = QSettings(str(path), QSettings.Format.IniFormat).value("windows/count", "1")
    return min(MOST_WINDOWS, int(kept)) if isinstance(kept, str) and kept.isdecimal() and kept != "0" else 1


def keep_windows(path: Path, count: int) -> None:
    """Notes how many windows are open now that the program is left."""
    settings = QSettings(str(path), QSettings.Format.IniFormat)
    settings.setValue("windows/count", str(count))
    settings.sync()
