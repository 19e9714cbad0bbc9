"""Writes the backup archive of a book: one ZIP that serves embedded books and books on a server alike.

``tables/*.jsonl`` hold what the book is made of (revisions, changes, private details, …), a row a line, keys in order;
the projection is left out, for it is rebuilt from the documents. ``files/*`` are the files. ``manifest.json`` says
whose book it is, its format, and the SHA-256 of every other member.
"""

import hashlib
import json
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, MetaData, Select, Table, func, select

from kbapp.errors import InputError
from kbapp.store.atomic import atomic_file
from kbapp.store.database import Database
from kbapp.store.files import files_of
from kbapp.store.heads import utc_now
from kbapp.store.identity import read_format
from kbapp.store.task import Task
from kbapp.store.troubles import plain_errors

ARCHIVE_FORMAT: Final = "provebook-backup/1"
MANIFEST: Final = "manifest.json"
KEPT_TABLES: Final = (
    "meta", "counter", "numbering", "revision", "batch", "change", "private", "file", "shelf", "sign_off",
)  # fmt: skip
"""What a book is made of, in the order it can be put back; the rest is projection, staging or pieces of files."""
_STEP: Final = 200


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup that was written: where, how many cases' revisions and files it holds, and its size in bytes."""

    path: Path
    revisions: int
    files: int
    size: int


@dataclass(slots=True)
class _Progress:
    task: Task
    of: int
    done: int = 0
    members: dict[str, dict[str, Any]] = field(default_factory=dict)

    def step(self) -> None:
        self.done += 1
        if self.done % _STEP == 0 or self.done == self.of:
            self.task.at(self.done, self.of)


def write_archive(database: Database, out: Path, task: Task) -> Backup:
    """Writes the whole book, as it is at one moment, to a file that appears only when it is complete.

    Raises:
        InputError: ``backup_exists``, there is a file of that name.
        Cancelled: the caller stopped the task; nothing is left behind.
    """
    if out.exists():
        raise InputError("backup_exists", where=str(out))
    with plain_errors(str(out)), database.read() as connection, atomic_file(out) as file:
        tables = _tables(connection)
        progress = _Progress(task, _count(connection, tables))
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=4) as archive:
            for table in tables:
                _write_table(connection, table, archive, progress)
            _write_files(database, connection, tables, archive, progress)
            manifest = _manifest(connection, database.shown, progress)
            archive.writestr(MANIFEST, json.dumps(manifest, indent=1, sort_keys=True))
    files = sum(name.startswith("files/") for name in progress.members)
    return Backup(out, progress.members["tables/revision.jsonl"]["rows"], files, out.stat().st_size)


def _tables(connection: Connection) -> list[Table]:
    # as the database has them, so that a book of an older format can be backed up before it is migrated
    found = MetaData()
    found.reflect(connection, only=lambda name, _: name in KEPT_TABLES)
    return [found.tables[name] for name in KEPT_TABLES if name in found.tables]


def _rows(table: Table) -> Select[Any]:
    """Returns the query of a table's published rows in a settled order."""
    query = select(table).order_by(*table.primary_key.columns)
    if table.name == "revision":
        change = table.metadata.tables["change"]
        return query.where(table.c.id.in_(select(change.c.revision)))
    if table.name == "batch":
        return query.where(table.c.first_change.is_not(None))
    return query


def _count(connection: Connection, tables: list[Table]) -> int:
    rows = sum(
        connection.execute(select(func.count()).select_from(_rows(one).subquery())).scalar_one() for one in tables
    )
    files = next(table for table in tables if table.name == "file")
    return int(rows + connection.execute(select(func.count()).select_from(files)).scalar_one())


def _write_table(connection: Connection, table: Table, archive: zipfile.ZipFile, progress: _Progress) -> None:
    proof, rows = hashlib.sha256(), 0
    name = f"tables/{table.name}.jsonl"
    with archive.open(name, "w", force_zip64=True) as member:
        for line in _lines(connection, table):
            proof.update(line)
            member.write(line)
            rows += 1
            progress.step()
    progress.members[name] = {"sha256": proof.hexdigest(), "rows": rows}


def _lines(connection: Connection, table: Table) -> Iterator[bytes]:
    result = connection.execution_options(yield_per=_STEP).execute(_rows(table))
    for row in result.mappings():
        yield json.dumps(dict(row), ensure_ascii=False, sort_keys=True).encode("utf-8") + b"\n"


def _write_files(
    database: Database, connection: Connection, tables: list[Table], archive: zipfile.ZipFile, progress: _Progress
) -> None:
    table = next(one for one in tables if one.name == "file")
    files = files_of(database)
    for sha256, size in connection.execute(select(table.c.sha256, table.c.size).order_by(table.c.sha256)).all():
        name = f"files/{sha256}"
        with archive.open(zipfile.ZipInfo(name), "w", force_zip64=True) as member:
            for piece in files.chunks(sha256):
                member.write(piece)
        progress.members[name] = {"sha256": sha256, "size": size}
        progress.step()


def _manifest(connection: Connection, where: str, progress: _Progress) -> dict[str, Any]:
    said = connection.exec_driver_sql("SELECT key, value FROM meta ORDER BY key")
    return {
        "format": ARCHIVE_FORMAT,
        "book_format": read_format(connection, where),
        "book": {row.key: row.value for row in said},
        "made_at": utc_now(),
        "members": progress.members,
    }
