"""Makes and opens the database of a book: refuses what is no book, brings an older one up to date."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlalchemy import inspect

from kbapp.errors import EnvironmentFault, InputError, KbError
from kbapp.records.case import Shop
from kbapp.store.atomic import flush_folder
from kbapp.store.automatic_backup import back_up_before_migration
from kbapp.store.database import BUSY_SECONDS, Database
from kbapp.store.identity import FORMAT, read_format, write_new
from kbapp.store.location import FolderLocation, Location
from kbapp.store.migration import migrate
from kbapp.store.mounts import network_file_system
from kbapp.store.synced import synced_folder
from kbapp.store.tables import metadata
from kbapp.store.troubles import plain_errors

_BEING_MADE: Final = ".being-made"


def create_database(location: Location, shop: Shop, *, practice: bool, name: str) -> None:
    """Makes a new book where none is.

    Raises:
        InputError: ``book_exists``, ``folder_not_empty`` or ``database_not_empty``.
        EnvironmentFault: ``network_disk``, the folder lies on a network file system; or the disk or server refuses.
    """
    if not isinstance(location, FolderLocation):
        _build(Database(location), shop, practice=practice, name=name)
        return
    with new_folder(location) as making:
        _build(Database(making, create=True), shop, practice=practice, name=name)


@contextmanager
def new_folder(location: FolderLocation) -> Iterator[FolderLocation]:
    """Makes the folder of a new book and yields the place inside it where the book is built.

    At the end the book appears in one step; on an error what was built is removed, as is what a crash left before.

    Raises:
        InputError: ``book_exists`` or ``folder_not_empty``.
        EnvironmentFault: ``network_disk``, or the disk refuses.
    """
    refuse_network_disk(location)
    making = FolderLocation(location.folder / _BEING_MADE)
    _prepare(making, location)
    try:
        yield making
    except BaseException:
        shutil.rmtree(making.folder, ignore_errors=True)
        raise
    _finish(making, location)


def _prepare(making: FolderLocation, location: FolderLocation) -> None:
    with plain_errors(location.shown):
        location.folder.mkdir(parents=True, exist_ok=True)
        if location.database.exists():
            raise InputError("book_exists", where=location.shown)
        # only a making that was cut off leaves that folder, and what it had begun to put in place beside it
        ours = {making.folder, location.files, location.backups} if making.folder.exists() else set()
        if any(entry not in ours for entry in location.folder.iterdir()):
            raise InputError("folder_not_empty", where=location.shown)
        for folder in ours - {location.backups}:
            shutil.rmtree(folder, ignore_errors=True)
        making.files.mkdir(parents=True)


def _finish(making: FolderLocation, location: FolderLocation) -> None:
    """Puts a book that was built aside in its place, the database last."""
    with plain_errors(location.shown):
        making.files.replace(location.files)
        location.backups.mkdir(exist_ok=True)
        making.database.replace(location.database)
        making.folder.rmdir()
        flush_folder(location.folder)


def _build(database: Database, shop: Shop, *, practice: bool, name: str) -> None:
    try:
        with database.build() as connection:
            refuse_full_database(set(inspect(connection).get_table_names()), database.shown)
            write_new(connection, shop, practice=practice, name=name)
    finally:
        database.close()


def refuse_full_database(names: set[str], where: str) -> None:
    """Refuses a database whose tables have the names a book needs.

    Raises:
        InputError: ``book_exists`` or ``database_not_empty``.
    """
    if {"alembic_version", "counter", "revision"} <= names:
        raise InputError("book_exists", where=where)
    if names & {*metadata.tables, "alembic_version"}:
        raise InputError("database_not_empty", where=where)


def open_database(
    location: Location,
    *,
    busy_seconds: float = BUSY_SECONDS,
    backups: Path | None = None,
    target: str = FORMAT,
    scripts: Path | None = None,
) -> Database:
    """Opens the database of a book, after a backup and a migration where its format is older than ``target``.

    Raises:
        InputError: ``book_missing``, ``not_a_book`` or ``book_newer``.
        EnvironmentFault, DamageError: the disk, the server or the database stands in the way.
    """
    if isinstance(location, FolderLocation):
        _refuse_folder(location)
    database = Database(location, busy_seconds=busy_seconds, backups=backups)
    try:
        found = _format_of(database, target)
        if found < target:
            back_up_before_migration(database, found)
            migrate(location, target=target, scripts=scripts)
    except BaseException:
        database.close()
        raise
    return database


def _format_of(database: Database, target: str) -> str:
    with database.read() as connection:
        found = read_format(connection, database.shown)
    if found > target:
        raise InputError("book_newer", where=database.shown, found=found, known=target)
    return found


def _refuse_folder(location: FolderLocation) -> None:
    with plain_errors(location.shown):
        if not location.database.is_file():
            raise InputError("book_missing", where=location.shown)
    refuse_network_disk(location)
    if not (os.access(location.folder, os.W_OK) and os.access(location.database, os.W_OK)):
        raise EnvironmentFault("book_read_only", where=location.shown, detail="")


def refuse_network_disk(location: FolderLocation) -> None:
    """Refuses a folder on a network file system.

    Raises:
        EnvironmentFault: ``network_disk``.
    """
    kind = network_file_system(location.folder)
    if kind is not None:
        raise EnvironmentFault("network_disk", where=location.shown, kind=kind)


def warnings_of(location: Location) -> tuple[KbError, ...]:
    """Returns what the user should know of a location that is taken all the same (``book_synced``)."""
    synced = synced_folder(location.folder) if isinstance(location, FolderLocation) else None
    return (EnvironmentFault("book_synced", where=location.shown, folder=str(synced)),) if synced else ()
