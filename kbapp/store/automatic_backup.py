"""Backups that nobody asked for: before a migration, and day by day; only the latest few are kept."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Final

from platformdirs import user_data_path

from kbapp.store.archive import write_archive
from kbapp.store.atomic import flush_folder
from kbapp.store.database import Database
from kbapp.store.heads import utc_now
from kbapp.store.identity import read_info
from kbapp.store.location import FolderLocation
from kbapp.store.task import QUIET, Task
from kbapp.store.troubles import plain_errors

KEPT: Final = 7
_MIGRATION: Final = "before-migration-"
_DAILY: Final = "automatic-"


def backups_folder(database: Database) -> Path:
    """Returns where automatic backups go: as ``open_book`` was told, beside an embedded book, else on this PC."""
    if database.backups is not None:
        return database.backups
    if isinstance(database.location, FolderLocation):
        return database.location.backups
    with database.read() as connection:
        book_id = read_info(connection, database.shown).book_id
    return user_data_path("Provebook", appauthor=False) / "backups" / book_id


def back_up_before_migration(database: Database, found: str) -> Path:
    """Copies a book of format ``found`` aside before it is migrated, and returns the backup.

    An embedded database is copied as it is, by SQLite's own backup; one on a server into an archive.
    """
    folder = backups_folder(database)
    stem = f"{_MIGRATION}from-{found}-{_stamp()}"
    with plain_errors(str(folder)):
        folder.mkdir(parents=True, exist_ok=True)
        if isinstance(database.location, FolderLocation):
            out = folder / f"{stem}.db"
            _copy_database(database.location.database, out)
        else:
            out = folder / f"{stem}.zip"
            write_archive(database, out, QUIET)
        rotate(folder, _MIGRATION, KEPT)
    return out


def back_up_automatically(database: Database, kept: int = KEPT, task: Task = QUIET) -> Path:
    """Writes an archive of the book among its automatic backups, drops all but the latest ``kept``, and returns it."""
    folder = backups_folder(database)
    with plain_errors(str(folder)):
        folder.mkdir(parents=True, exist_ok=True)
        out = folder / f"{_DAILY}{_stamp()}.zip"
        write_archive(database, out, task)
        rotate(folder, _DAILY, kept)
    return out


def rotate(folder: Path, prefix: str, kept: int) -> tuple[Path, ...]:
    """Deletes all but the latest ``kept`` backups whose names begin with ``prefix``, and returns what was deleted."""
    backups = sorted(path for path in folder.glob(prefix + "*") if path.suffix in (".db", ".zip"))
    dropped = tuple(backups[: max(len(backups) - kept, 0)])
    for path in dropped:
        path.unlink()
    return dropped


def _stamp() -> str:
    return utc_now().replace(":", "").replace(".", "-")


def _copy_database(source: Path, out: Path) -> None:
    part = out.with_suffix(".part")
    part.unlink(missing_ok=True)
    try:
        with (
            closing(sqlite3.connect(f"{source.as_uri()}?mode=ro", uri=True)) as origin,
            closing(sqlite3.connect(part)) as copy,
        ):
            origin.backup(copy)
        part.replace(out)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    flush_folder(out.parent)
