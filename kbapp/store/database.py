"""The one way to the database: reading and writing transactions on SQLite or PostgreSQL."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event, select, text
from sqlalchemy.pool import ConnectionPoolEntry, QueuePool

from kbapp.errors import EnvironmentFault
from kbapp.store.location import FolderLocation, Location, ServerLocation
from kbapp.store.tables import counter
from kbapp.store.troubles import plain_errors

BUSY_SECONDS: Final = 10.0
_WRITER: Final = "kbapp_writer"


class Database:
    """Holds the engine of one book. Transactions may be opened from any thread; each has a connection of its own."""

    def __init__(
        self,
        location: Location,
        *,
        busy_seconds: float = BUSY_SECONDS,
        backups: Path | None = None,
        create: bool = False,
        checked_keys: bool = True,
    ) -> None:
        self.location = location
        self.backups = backups
        self.busy_seconds = busy_seconds
        with plain_errors(location.shown):
            if isinstance(location, FolderLocation):
                self.engine = _sqlite_engine(location, busy_seconds, create=create, checked_keys=checked_keys)
            else:
                self.engine = _server_engine(location)
        self._writer = self.engine.execution_options(**{_WRITER: True})
        self._snapshot = (
            self.engine if self.embedded else self.engine.execution_options(isolation_level="REPEATABLE READ")
        )

    @property
    def embedded(self) -> bool:
        """Whether the book is an SQLite file."""
        return self.engine.dialect.name == "sqlite"

    @property
    def shown(self) -> str:
        """The location as a person may see it."""
        return self.location.shown

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """Yields a connection that sees the book as it was at its first statement, and writes nothing."""
        with plain_errors(self.shown), self._snapshot.connect() as connection:
            yield connection
            connection.rollback()

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """Yields the connection of a writing transaction; it commits at the end and rolls back on any error.

        Writers queue: on SQLite for the file's lock, on PostgreSQL for the counter row.
        """
        with plain_errors(self.shown), self._writer.begin() as connection:
            if not self.embedded:
                connection.execute(text(f"SET LOCAL lock_timeout = {int(self.busy_seconds * 1000)}"))
                connection.execute(select(counter.c.change).with_for_update())
            yield connection

    @contextmanager
    def build(self) -> Iterator[Connection]:
        """Yields a writing transaction on a database that has no counter yet or is being migrated, alone on it."""
        with plain_errors(self.shown), self._writer.begin() as connection:
            if not self.embedded:
                # any number, the same in every Provebook: one at a time builds or migrates in a database
                connection.execute(text("SELECT pg_advisory_xact_lock(7310915205)"))
            yield connection

    @contextmanager
    def stage(self) -> Iterator[Connection]:
        """Yields a writing transaction for rows nobody sees yet: on PostgreSQL it queues behind no one."""
        with plain_errors(self.shown), self._writer.begin() as connection:
            yield connection

    def close(self) -> None:
        """Closes every connection that is not in use."""
        self.engine.dispose()


def _sqlite_engine(location: FolderLocation, busy_seconds: float, *, create: bool, checked_keys: bool) -> Engine:
    address = f"{location.database.as_uri()}?mode={'rwc' if create else 'rw'}"

    def connect() -> sqlite3.Connection:
        return sqlite3.connect(
            address,
            uri=True,
            timeout=busy_seconds,
            isolation_level=None,
            check_same_thread=False,
            cached_statements=256,
        )

    engine = create_engine(
        "sqlite://", creator=connect, poolclass=QueuePool, pool_size=4, max_overflow=28, pool_timeout=busy_seconds
    )
    event.listen(engine, "connect", _on_sqlite_connect(checked_keys=checked_keys))
    event.listen(engine, "begin", _on_sqlite_begin)
    return engine


def _on_sqlite_connect(*, checked_keys: bool) -> Callable[[Any, ConnectionPoolEntry], None]:
    def set_up(connection: Any, _entry: ConnectionPoolEntry) -> None:
        cursor = connection.cursor()
        try:
            cursor.execute("PRAGMA journal_mode = WAL")
            cursor.execute("PRAGMA synchronous = FULL")
            cursor.execute(f"PRAGMA foreign_keys = {'ON' if checked_keys else 'OFF'}")
            cursor.execute("PRAGMA temp_store = MEMORY")
            cursor.execute("PRAGMA cache_size = -16000")
        finally:
            cursor.close()

    return set_up


def _on_sqlite_begin(connection: Connection) -> None:
    # The driver is in autocommit mode (isolation_level=None), so that writers can take the lock at once: a reader that
    # turns into a writer half-way would fail instead of waiting.
    writer = connection.get_execution_options().get(_WRITER, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writer else "BEGIN")


def _server_engine(location: ServerLocation) -> Engine:
    patience = {"connect_timeout": 10, "keepalives_idle": 30, "keepalives_interval": 5, "keepalives_count": 3}
    given = dict(location.url.query)
    arguments = {
        name: value for name, value in {**patience, "application_name": "provebook"}.items() if name not in given
    }
    try:
        return create_engine(
            location.url, connect_args=arguments, pool_pre_ping=True, pool_size=4, max_overflow=28, pool_timeout=10
        )
    except ModuleNotFoundError:
        raise EnvironmentFault("server_driver_missing", where=location.shown) from None
