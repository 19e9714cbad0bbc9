"""The user's settings in force: read once, changed live, kept in their file behind every change."""

from pathlib import Path

from PySide6.QtCore import QObject, Signal

from kbapp.app.settings import Settings, read_settings, write_settings
from kbapp.desktop.tasks import Tasks


class Preferences(QObject):
    """``changed`` is sent with the settings whenever one of them changes, ``failed`` when they cannot be kept."""

    changed = Signal(object)
    kept = Signal()
    failed = Signal(object)

    def __init__(self, path: Path, tasks: Tasks, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._path, self._tasks = path, tasks
        self.first_run = not path.exists()
        """Whether there is no settings file yet: nobody has worked here before."""
        self._now, self.damaged = read_settings(path)

    @property
    def now(self) -> Settings:
        """The settings in force."""
        return self._now

    def change(self, **values: object) -> None:
        """Puts settings in force and keeps them; values are those of the record's fields, checked before."""
        changed = Settings.model_validate({**self._now.plain(), **values})
        if changed == self._now and not self.first_run:
            return
        self._now = changed
        self.changed.emit(changed)
        self.keep()

    def keep(self) -> None:
        """Writes the settings down; from then on it is no first run."""
        self.first_run = False
        settings, path = self._now, self._path

        def done(_none: None) -> None:
            self.kept.emit()

        self._tasks.run("draft", self, lambda _control: write_settings(path, settings), done, self.failed.emit)
