"""Puts a backup archive back as a book of its own, after proving every byte of it."""

import hashlib
import json
import re
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final
from uuid import uuid4

from sqlalchemy import Connection, MetaData, Table, func, insert, inspect, select, text

from kbapp.errors import DamageError, InputError
from kbapp.store.archive import ARCHIVE_FORMAT, KEPT_TABLES, MANIFEST
from kbapp.store.atomic import atomic_file
from kbapp.store.database import Database
from kbapp.store.files import CHUNK, FolderFiles
from kbapp.store.identity import FORMAT, make_tables, read_info, write_meta
from kbapp.store.location import FolderLocation, Location, parse_location
from kbapp.store.migration import upgrade
from kbapp.store.opening import new_folder, refuse_full_database
from kbapp.store.rebuilding import rebuild
from kbapp.store.tables import file_chunk
from kbapp.store.task import Progress, Stop, Task
from kbapp.store.troubles import plain_errors
from kbapp.store.values import BookInfo

_MANIFEST_LIMIT: Final = 256 * 1024 * 1024
_STEP: Final = 200
_KIND: Final = re.compile("provebook-backup/[1-9][0-9]{0,5}")
_BOOK_FORMAT: Final = re.compile("(?!0000)[0-9]{4}")
_ESSENTIAL: Final = {f"tables/{name}.jsonl" for name in ("meta", "counter", "revision", "change")}
_NUMBERED: Final = ("revision", "shelf", "sign_off")


@dataclass(frozen=True, slots=True)
class _Archive:
    path: Path
    file: zipfile.ZipFile
    book_format: str
    members: dict[str, Any]

    def damaged(self, member: str) -> DamageError:
        return DamageError("backup_damaged", where=str(self.path), detail=member)

    def pieces(self, member: str) -> Iterator[bytes]:
        with self.file.open(member) as opened:
            while piece := opened.read(CHUNK):
                yield piece

    def rows(self, table: Table) -> Iterator[dict[str, Any]]:
        member = f"tables/{table.name}.jsonl"
        columns = set(table.columns.keys())
        with self.file.open(member) as opened:
            for line in opened:
                try:
                    row = json.loads(line)
                except (ValueError, RecursionError):
                    raise self.damaged(member) from None
                if not isinstance(row, dict) or row.keys() != columns:
                    raise self.damaged(member)
                yield row

    @property
    def files(self) -> list[str]:
        return [name.removeprefix("files/") for name in self.members if name.startswith("files/")]


def restore(
    archive: Path,
    location: str | Path,
    progress: Progress | None = None,
    cancel: Stop | None = None,
    *,
    target: str = FORMAT,
    scripts: Path | None = None,
) -> BookInfo:
    """Makes a book from a backup at a location that holds none; it is the same book in a new incarnation.

    Everything is proved before anything is written, and the book appears only when it is whole. A backup of an older
    format is brought to ``target`` on the way, by the migrations in ``scripts`` (those that ship, unless given).

    Raises:
        InputError: ``backup_wrong``, ``backup_newer``, ``book_exists``, ``folder_not_empty``, ``database_not_empty``.
        DamageError: ``backup_damaged``, a part of it is missing or altered.
        Cancelled: the caller stopped the task.
    """
    place, task = parse_location(location), Task(progress, cancel)
    with plain_errors(str(archive)), _opened(archive) as opened:
        verify(opened, task)
        if isinstance(place, FolderLocation):
            with new_folder(place) as making:
                info = _build(opened, making, task, target, scripts)
        else:
            info = _build(opened, place, task, target, scripts)
    return info


@contextmanager
def _opened(path: Path) -> Iterator[_Archive]:
    try:
        with zipfile.ZipFile(path) as file:
            yield _read_manifest(path, file)
    except (zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError) as error:
        raise InputError("backup_wrong", where=str(path), detail=str(error)) from None


def _read_manifest(path: Path, file: zipfile.ZipFile) -> _Archive:
    try:
        with file.open(MANIFEST) as member:
            manifest = json.loads(member.read(_MANIFEST_LIMIT))
        kind, book_format, members = str(manifest["format"]), str(manifest["book_format"]), dict(manifest["members"])
    except (KeyError, ValueError, TypeError, RuntimeError, zlib.error, zipfile.BadZipFile):
        raise InputError("backup_wrong", where=str(path), detail=MANIFEST) from None
    if not _KIND.fullmatch(kind) or not _BOOK_FORMAT.fullmatch(book_format) or not members.keys() >= _ESSENTIAL:
        raise InputError("backup_wrong", where=str(path), detail=MANIFEST)
    for found, known in ((kind, ARCHIVE_FORMAT), (book_format, FORMAT)):
        if found > known:
            raise InputError("backup_newer", where=str(path), found=found, known=known)
    return _Archive(path, file, book_format, members)


def verify(archive: _Archive, task: Task) -> None:
    """Proves that the archive holds exactly what its manifest lists, byte by byte.

    Raises:
        DamageError: ``backup_damaged`` with the member that is missing, altered or not listed.
    """
    there = archive.file.namelist()
    for name in {*there} ^ {*archive.members, MANIFEST}:
        raise archive.damaged(name)
    if len(there) != len(set(there)):
        raise archive.damaged(MANIFEST)
    for done, (name, said) in enumerate(archive.members.items()):
        task.at(done, 2 * len(archive.members))
        if not _holds(archive, name, said):
            raise archive.damaged(name)


def _holds(archive: _Archive, name: str, said: object) -> bool:
    if not isinstance(said, dict):
        return False
    table = name.removeprefix("tables/").removesuffix(".jsonl")
    if name.startswith("files/") and name != f"files/{said.get('sha256')}":
        return False
    if not name.startswith("files/") and not (name == f"tables/{table}.jsonl" and table in KEPT_TABLES):
        return False
    proof = hashlib.sha256()
    try:
        for piece in archive.pieces(name):
            proof.update(piece)
    except (zipfile.BadZipFile, EOFError, OSError, ValueError, RuntimeError, zlib.error):
        return False
    return proof.hexdigest() == said.get("sha256")


def _build(archive: _Archive, place: Location, task: Task, target: str, scripts: Path | None) -> BookInfo:
    older = archive.book_format < target
    embedded = isinstance(place, FolderLocation)
    database = Database(place, create=embedded, checked_keys=not older)
    try:
        with database.build() as connection:
            refuse_full_database(set(inspect(connection).get_table_names()), database.shown)
            if older:
                upgrade(connection, archive.book_format, scripts)
            else:
                make_tables(connection)
            _load(connection, archive)
            if older:
                upgrade(connection, target, scripts)
            write_meta(connection, "incarnation", str(uuid4()))
            rebuild(connection)
            _put_files_back(connection, archive, place, task)
            return read_info(connection, database.shown)
    finally:
        database.close()


def _load(connection: Connection, archive: _Archive) -> None:
    found = MetaData()
    found.reflect(connection, only=lambda name, _: name in KEPT_TABLES)
    for name in KEPT_TABLES:
        if f"tables/{name}.jsonl" in archive.members:
            _load_table(connection, archive, found.tables[name])


def _load_table(connection: Connection, archive: _Archive, table: Table) -> None:
    step: list[dict[str, Any]] = []
    for row in archive.rows(table):
        step.append(row)
        if len(step) == _STEP:
            connection.execute(insert(table), step)
            step = []
    if step:
        connection.execute(insert(table), step)
    if table.name in _NUMBERED and connection.dialect.name == "postgresql":
        # rows came with their numbers; the next one must be new
        last = connection.execute(select(func.max(table.c.id))).scalar() or 0
        sequence = {"name": table.name, "next": last + 1}
        connection.execute(text("SELECT setval(pg_get_serial_sequence(:name, 'id'), :next, false)"), sequence)


def _put_files_back(connection: Connection, archive: _Archive, place: Location, task: Task) -> None:
    names, folder = archive.files, place.files if isinstance(place, FolderLocation) else None
    for done, sha256 in enumerate(names):
        task.at(len(archive.members) + done, 2 * len(archive.members))
        pieces = archive.pieces(f"files/{sha256}")
        if folder is not None:
            target = FolderFiles.place_in(folder, sha256)
            target.parent.mkdir(parents=True, exist_ok=True)
            with atomic_file(target) as out:
                out.writelines(pieces)
        else:
            rows = ({"sha256": sha256, "chunk": n, "data": piece} for n, piece in enumerate(pieces))
            for row in rows:
                connection.execute(insert(file_chunk).values(row))
    task.at(2 * len(archive.members), 2 * len(archive.members))
