"""Brings a book of an older format up to date. The migration tool is imported here, and only when it is needed."""

from pathlib import Path

from sqlalchemy import Connection

from kbapp.resources import resource
from kbapp.store.database import Database
from kbapp.store.identity import FORMAT, read_format
from kbapp.store.location import Location


def migrations_folder() -> Path:
    """Returns the folder of the migrations that ship with the program."""
    return resource("schema") / "migrations"


def migrate(location: Location, *, target: str = FORMAT, scripts: Path | None = None) -> None:
    """Brings a book to the format ``target`` in one transaction; one that another process brought there is left alone.

    ``scripts`` is the folder of the migrations, by default the one that ships.
    """
    database = Database(location, checked_keys=False)  # tables are rebuilt on SQLite, which checked keys would hinder
    try:
        with database.build() as connection:
            if read_format(connection, database.shown) < target:
                upgrade(connection, target, scripts)
    finally:
        database.close()


def upgrade(connection: Connection, target: str = FORMAT, scripts: Path | None = None) -> None:
    """Runs the migrations up to ``target`` in the transaction of a connection (an empty database gets every table)."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(scripts or migrations_folder()).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    command.upgrade(config, target)
