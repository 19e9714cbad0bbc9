"""Tells whether a folder is kept in step with other PCs or a cloud by some program.

Such programs copy a database while it is being written. There is no general way to know them, so traces are looked
for: the hidden markers they leave at the top of a folder, and the usual endings of such folders' names. A wrong guess
only warns.
"""

from pathlib import Path
from typing import Final

_MARKERS: Final = (".sync", ".sync_*.db", "._sync_*.db", ".stfolder")
_ENDINGS: Final = ("cloud", "drive", "sync")
_TRADE_WORDS: Final = ("overdrive", "test drive", "testdrive")


def synced_folder(folder: Path) -> Path | None:
    """Returns the folder at or above ``folder`` that looks synchronised, or None."""
    for place in (folder, *folder.parents):
        if place != place.parent and (_name_says_so(place.name) or _has_marker(place)):
            return place
    return None


def _name_says_so(name: str) -> bool:
    low = name.casefold()
    return low.endswith(_ENDINGS) and not low.endswith(_TRADE_WORDS)


def _has_marker(folder: Path) -> bool:
    try:
        return any(next(folder.glob(marker), None) is not None for marker in _MARKERS)
    except OSError:
        return False
