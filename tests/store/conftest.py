"""Books for the tests of the store: the same tests run on an SQLite file and on a real PostgreSQL server.

KBAPP_TEST_POSTGRES names the server, for example postgresql+psycopg://user@host/database; the user must be allowed to
create databases. Each test gets a database of its own, copied from one that is ready. Without it test_postgres.py says
aloud, once, that nothing ran on PostgreSQL.
"""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import URL, create_engine, make_url, text

from kbapp.store.book import Book, create_book, open_book
from tests.store.sample import SHOP

SERVER = os.environ.get("KBAPP_TEST_POSTGRES", "")
PLACES = ["sqlite", *([pytest.param("postgres", marks=pytest.mark.postgres)] if SERVER else [])]


class Server:
    """Makes and drops databases on the test server."""

    def __init__(self, address: str) -> None:
        self.url = make_url(address).set(drivername="postgresql+psycopg")
        self._engine = create_engine(self.url, isolation_level="AUTOCOMMIT")
        self.names: list[str] = []

    def _run(self, command: str) -> None:
        with self._engine.connect() as connection:
            connection.execute(text(command))

    def make(self, template: str = "template0") -> URL:
        name = f"provebook_test_{uuid4().hex}"
        self._run(f"CREATE DATABASE {name} TEMPLATE {template}")
        self.names.append(name)
        return self.url.set(database=name)

    def drop(self, name: str) -> None:
        self._run(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        self.names.remove(name)

    def close(self) -> None:
        for name in list(self.names):
            self.drop(name)
        self._engine.dispose()


def address_of(url: URL) -> str:
    return url.render_as_string(hide_password=False)


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    server = Server(SERVER)
    yield server
    server.close()


@pytest.fixture(scope="session")
def ready_database(server: Server) -> str:
    url = server.make()
    create_book(address_of(url), SHOP, name="Test book").close()
    assert url.database
    return url.database


@pytest.fixture(scope="session")
def ready_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("ready") / "book"
    create_book(folder, SHOP, name="Test book").close()
    return folder


@pytest.fixture(params=PLACES)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def copy_of(kind: str, ready: str, place: Path, request: pytest.FixtureRequest) -> Iterator[str]:
    """Yields the location of a copy of a ready book (a folder, or a database by name), dropped afterwards."""
    if kind == "sqlite":
        yield str(shutil.copytree(ready, place))
        return
    server: Server = request.getfixturevalue("server")
    url = server.make(ready)
    yield address_of(url)
    server.drop(str(url.database))


@pytest.fixture
def empty_place(kind: str, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[str]:
    """A place for a new book: a folder that does not exist, or an empty database."""
    if kind == "sqlite":
        yield str(tmp_path / "new book")
        return
    server: Server = request.getfixturevalue("server")
    url = server.make()
    yield address_of(url)
    server.drop(str(url.database))


@pytest.fixture
def location(kind: str, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[str]:
    """A book of its own, ready and empty."""
    ready = request.getfixturevalue("ready_folder" if kind == "sqlite" else "ready_database")
    yield from copy_of(kind, str(ready), tmp_path / "book", request)


@pytest.fixture
def book(location: str) -> Iterator[Book]:
    """An open, empty book signed by IK."""
    with open_book(location, author="IK") as book:
        yield book


@pytest.fixture
def folder(tmp_path: Path, ready_folder: Path) -> Path:
    """The folder of an embedded book of its own, ready and empty."""
    return shutil.copytree(ready_folder, tmp_path / "folder book")
