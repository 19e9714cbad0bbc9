"""Formats: the migrations make what a new book has; an older book is backed up, then brought up to date."""

import logging
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect, select, text

from kbapp.errors import EnvironmentFault, InputError
from kbapp.store import tables
from kbapp.store.automatic_backup import KEPT
from kbapp.store.backup import restore
from kbapp.store.book import Book, open_book
from kbapp.store.database import Database
from kbapp.store.identity import FORMAT, make_tables, version_table
from kbapp.store.location import FolderLocation, parse_location
from kbapp.store.migration import migrations_folder, upgrade
from kbapp.store.opening import open_database
from tests.store.sample import case, full_case

NEXT = """
import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    with op.batch_alter_table("cases", recreate="auto") as table:
        table.add_column(sa.Column("colour", sa.Text, nullable=False, server_default="red"))
        table.alter_column("shop_id", new_column_name="owner")
    op.create_table("later", sa.Column("id", sa.Integer, primary_key=True))
"""
ADDITIVE = """
import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    op.create_table("later", sa.Column("id", sa.Integer, primary_key=True))
"""
BROKEN = NEXT + '    raise sa.exc.OperationalError("later", {}, OSError("no"))\n'


@pytest.fixture
def scripts(tmp_path: Path) -> Path:
    """The migrations with one more, as the next version of the program would bring."""
    copy = shutil.copytree(migrations_folder(), tmp_path / "migrations")
    (copy / "versions" / "0003_next.py").write_text(NEXT)
    return copy


def _database(place: str, *, create: bool) -> Database:
    location = parse_location(place)
    if isinstance(location, FolderLocation):
        location.folder.mkdir(exist_ok=True)
    return Database(location, create=create)


def _described(database: Database) -> dict[str, object]:
    with database.read() as connection:
        found = inspect(connection)
        return {
            name: (
                [{**one, "type": str(one["type"])} for one in found.get_columns(name)],
                found.get_pk_constraint(name),
                sorted(map(str, found.get_indexes(name))),
                sorted(map(str, found.get_unique_constraints(name))),
                sorted(map(str, found.get_foreign_keys(name))),
            )
            for name in sorted(found.get_table_names())
        }


def test_migrations_make_what_a_new_book_has(empty_place: str, location: str) -> None:
    migrated, new = _database(empty_place, create=True), _database(location, create=False)
    with migrated.build() as connection:
        upgrade(connection)
        assert compare_metadata(MigrationContext.configure(connection), tables.metadata) == []
    assert _described(migrated) == _described(new)
    with migrated.read() as connection:
        assert connection.execute(select(version_table)).scalar() == FORMAT
    migrated.close()
    new.close()


def test_on_sqlite_even_the_statements_are_the_same(tmp_path: Path) -> None:
    statements = []
    for name in ("migrated", "new"):
        database = _database(str(tmp_path / name), create=True)
        with database.build() as connection:
            upgrade(connection) if name == "migrated" else make_tables(connection)
            rows = connection.exec_driver_sql("SELECT name, sql FROM sqlite_master ORDER BY name").all()
        database.close()
        statements.append({row[0]: "".join((row[1] or "").replace('"', "").split()) for row in rows})
    assert statements[0] == statements[1]


def test_the_migrations_are_one_line_that_ends_at_the_present_format() -> None:
    names = [one.revision for one in ScriptDirectory(str(migrations_folder())).walk_revisions()]
    assert names == sorted(names, reverse=True)
    assert names[0] == FORMAT


def _open_as_next(place: str, scripts: Path, backups: Path | None = None) -> Database:
    return open_database(parse_location(place), target="0003", scripts=scripts, backups=backups)


def _version(database: Database) -> str:
    with database.read() as connection:
        return str(connection.execute(select(version_table)).scalar())


def test_an_older_book_is_backed_up_and_brought_up_to_date(
    book: Book, location: str, scripts: Path, tmp_path: Path
) -> None:
    saved = book.save(full_case(), None)
    book.files.put(b"photo")
    book.close()
    handlers, level = list(logging.root.handlers), logging.root.level
    database = _open_as_next(location, scripts, tmp_path / "aside")
    assert _version(database) == "0003"
    with database.read() as connection:
        row = connection.execute(text("SELECT id, colour, owner FROM cases")).one()
        assert tuple(row) == (saved.case.id, "red", full_case().shop.id)  # type: ignore[union-attr]
        assert inspect(connection).has_table("later")
        if database.embedded:
            assert connection.exec_driver_sql("PRAGMA foreign_key_check").all() == []
            assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
    database.close()
    assert (list(logging.root.handlers), logging.root.level) == (handlers, level)
    (backup,) = (tmp_path / "aside").iterdir()
    _holds_the_old_book(backup, tmp_path / "old", saved.revision)
    with pytest.raises(InputError) as newer:
        open_book(location)
    assert newer.value.code == "book_newer"


def _holds_the_old_book(backup: Path, place: Path, revision: int) -> None:
    if backup.suffix == ".zip":
        restore(backup, place)
    else:
        place.mkdir()
        shutil.copy(backup, place / "book.db")
    with open_book(place) as old:
        assert old.case(full_case().id).revision == revision


def test_a_book_of_today_is_opened_without_backup(location: str, tmp_path: Path) -> None:
    open_book(location, backups=tmp_path / "aside").close()
    assert not (tmp_path / "aside").exists()


def test_a_migration_that_fails_changes_nothing(book: Book, location: str, scripts: Path, tmp_path: Path) -> None:
    book.save(case(1), None)
    book.close()
    (scripts / "versions" / "0003_next.py").write_text(BROKEN)
    with pytest.raises(EnvironmentFault):
        _open_as_next(location, scripts, tmp_path / "aside")
    with open_book(location) as again:
        assert again.count() == 1
        assert not again.check()
        with again._database.read() as connection:
            assert not inspect(connection).has_table("later")
    assert len(list((tmp_path / "aside").iterdir())) == 1


def test_two_that_open_an_older_book_migrate_it_once(location: str, scripts: Path) -> None:
    code = (
        "import sys; from pathlib import Path\n"
        "from kbapp.store.location import parse_location\n"
        "from kbapp.store.migration import migrate\n"
        "sys.stdin.readline()\n"
        "migrate(parse_location(sys.argv[1]), target='0003', scripts=Path(sys.argv[2]))\n"
    )
    command = [sys.executable, "-c", code, location, str(scripts)]
    processes = [subprocess.Popen(command, stdin=subprocess.PIPE, text=True) for _ in range(2)]
    for process in processes:
        process.communicate("go\n")
    assert [process.returncode for process in processes] == [0, 0]
    database = _open_as_next(location, scripts)
    assert _version(database) == "0003"
    database.close()


def test_a_backup_of_an_older_format_is_migrated_when_restored(
    book: Book, empty_place: str, scripts: Path, tmp_path: Path
) -> None:
    saved = book.save(full_case(), None)
    book.backup(tmp_path / "x.zip")
    (scripts / "versions" / "0003_next.py").write_text(ADDITIVE)
    restore(tmp_path / "x.zip", empty_place, target="0003", scripts=scripts)
    database = _open_as_next(empty_place, scripts)
    assert _version(database) == "0003"
    with database.read() as connection:
        assert inspect(connection).has_table("later")
        assert connection.execute(select(tables.cases.c.id)).scalars().all() == [saved.case.id]
    database.close()


def test_backups_before_migrations_are_rotated(folder: Path, scripts: Path) -> None:
    for n in range(KEPT + 2):
        (folder / "backups" / f"before-migration-from-0000-2020{n}.db").touch()
    _open_as_next(str(folder), scripts).close()
    kept = sorted(path.name for path in (folder / "backups").iterdir())
    assert len(kept) == KEPT
    assert any(name.startswith("before-migration-from-0002-") for name in kept)


def test_a_disk_too_full_for_the_backup_leaves_the_old_book(folder: Path, scripts: Path, tmp_path: Path) -> None:
    (tmp_path / "in the way").write_text("a file where the folder should be")
    with pytest.raises(EnvironmentFault):
        _open_as_next(str(folder), scripts, tmp_path / "in the way")
    with closing(sqlite3.connect(folder / "book.db")) as raw:
        assert raw.execute("SELECT version_num FROM alembic_version").fetchall() == [(FORMAT,)]
