"""What a window remembers between two runs: place, size, screen, panes. Kept in an ini file whose path is given."""

import json
from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings
from PySide6.QtWidgets import QWidget


class WindowMemory:
    """Reads and writes the ini file; a damaged or missing one means the defaults."""

    def __init__(self, path: Path) -> None:
        self._settings = QSettings(str(path), QSettings.Format.IniFormat)

    def restore_window(self, window: QWidget, least: tuple[int, int]) -> None:
        """Gives a window its last place and size, or a usual size."""
        kept = self._settings.value("window/geometry")
        if not (isinstance(kept, QByteArray) and window.restoreGeometry(kept)):
            window.resize(1280, 800)
        window.resize(max(window.width(), least[0]), max(window.height(), least[1]))

    def last_screen(self) -> str:
        """Returns the key of the screen shown last, or an empty text."""
        kept = self._settings.value("window/screen", "")
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
        self._settings.setValue("window/geometry", window.saveGeometry())
        self._settings.setValue("window/screen", screen)
        for key, values in kept.items():
            if values:
                self._settings.setValue(f"screens/{key}", json.dumps(values))
        self._settings.sync()
