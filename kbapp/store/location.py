"""Where a book lies: a folder with an embedded database, or the address of a PostgreSQL server."""

from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from kbapp.errors import InputError

_SCHEMES = ("postgresql://", "postgresql+psycopg://", "postgres://")


@dataclass(frozen=True, slots=True)
class FolderLocation:
    """A book in a folder: ``book.db``, ``files/`` and ``backups/``."""

    folder: Path

    @property
    def database(self) -> Path:
        """The database file."""
        return self.folder / "book.db"

    @property
    def files(self) -> Path:
        """The folder of photos, waveforms and documents."""
        return self.folder / "files"

    @property
    def backups(self) -> Path:
        """The folder of automatic backups."""
        return self.folder / "backups"

    @property
    def shown(self) -> str:
        """The location as a person may see it."""
        return str(self.folder)


@dataclass(frozen=True, slots=True)
class ServerLocation:
    """A book in a PostgreSQL database."""

    url: URL

    @property
    def shown(self) -> str:
        """The location as a person may see it: without the password."""
        return self.url.set(drivername="postgresql").render_as_string(hide_password=True)

    @property
    def without_password(self) -> str:
        """The address as it may be kept: the same without its password."""
        url = self.url
        query = {name: value for name, value in url.query.items() if "password" not in name}
        bare = URL.create("postgresql", url.username, None, url.host, url.port, url.database, query)
        return bare.render_as_string(hide_password=False)


Location = FolderLocation | ServerLocation


def parse_location(location: str | Path) -> Location:
    """Returns what a location given by a person means.

    Raises:
        InputError: ``location_wrong``, the text is empty or an address that is no PostgreSQL URL.
    """
    text = str(location).strip()
    if not text:
        raise InputError("location_wrong", location=text)
    if not isinstance(location, Path) and "://" in text:
        return _server(text)
    try:
        return FolderLocation(Path(text).expanduser().absolute())
    except (RuntimeError, ValueError):
        raise InputError("location_wrong", location=text) from None


def _server(text: str) -> ServerLocation:
    if not text.startswith(_SCHEMES):
        raise InputError("location_wrong", location=text.partition("://")[0] + "://…")
    try:
        url = make_url(text)
    except (ArgumentError, ValueError):
        raise InputError("location_wrong", location=text.partition("://")[0] + "://…") from None
    if not url.database:
        raise InputError("location_wrong", location=url.render_as_string(hide_password=True))
    return ServerLocation(url.set(drivername="postgresql+psycopg"))
