"""The books opened last on this PC, for opening them again; passwords of servers are never kept."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from kbapp.app.places import PRACTICE, places
from kbapp.store.location import ServerLocation, parse_location

MOST: Final = 8


def books_file() -> Path:
    """Returns the file the list is kept in."""
    return places().config / "recent-books.json"


def read_recent(path: Path) -> tuple[str, ...]:
    """Returns the locations, the latest first; a file that cannot be read holds none."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return ()
    return tuple(text for text in found if isinstance(text, str))[:MOST] if isinstance(found, list) else ()


def note_opened(path: Path, location: str) -> None:
    """Puts a location first in the list; where the list cannot be kept, nobody is troubled with it."""
    if location == PRACTICE:
        return
    kept = without_password(location)
    _write(path, [kept, *(other for other in read_recent(path) if other != kept)][:MOST])


def _write(path: Path, locations: Sequence[str]) -> None:
    temporary = path.with_suffix(".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        temporary.write_text(json.dumps(list(locations), ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
        temporary.replace(path)
    except OSError:
        return


def without_password(location: str) -> str:
    """Returns a location as it may be kept and shown: a server's address without its password.

    Raises:
        InputError: ``location_wrong``.
    """
    place = parse_location(location)
    if isinstance(place, ServerLocation):
        return place.without_password
    return place.shown
