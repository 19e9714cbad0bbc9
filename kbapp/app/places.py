"""Where Provebook keeps things on this PC. ``KBAPP_HOME`` puts all of it under one folder."""

import os
from dataclasses import dataclass
from pathlib import Path

import platformdirs

PRACTICE = "practice"


@dataclass(frozen=True, slots=True)
class Places:
    """Folders of this PC: ``data`` is the user's own, ``cache`` may be deleted at any time."""

    data: Path
    cache: Path
    config: Path

    @property
    def own_book(self) -> Path:
        """The book that is opened when none is named."""
        return self.data / "book"

    @property
    def practice_book(self) -> Path:
        """The practice book."""
        return self.data / "practice"

    @property
    def drafts(self) -> Path:
        """Kept drafts of running text."""
        return self.data / "drafts"

    @property
    def settings(self) -> Path:
        """The settings file."""
        return self.config / "settings.json"

    @property
    def window_state(self) -> Path:
        """Where windows keep their size and place."""
        return self.config / "window.ini"

    def index_of(self, incarnation: str) -> Path:
        """Returns the folder of the index of one book."""
        return self.cache / "index" / incarnation


def places() -> Places:
    """Returns the folders of the current user, or those under ``KBAPP_HOME``."""
    home = os.environ.get("KBAPP_HOME")
    if home:
        root = Path(home)
        return Places(root / "data", root / "cache", root / "config")
    dirs = platformdirs.PlatformDirs("Provebook", appauthor=False)
    return Places(Path(dirs.user_data_dir), Path(dirs.user_cache_dir), Path(dirs.user_config_dir))
