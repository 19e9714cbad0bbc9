"""Practice books ready made, copied for each test; loaded as a plugin by tests/conftest.py."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kbapp.app.places import places
from kbapp.app.practice import fresh_practice_book
from kbapp.app.session import Session


@pytest.fixture(scope="session")
def _practice_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("ready")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("KBAPP_HOME", str(home))
        fresh_practice_book()
        session = Session.open("practice", follow=False)
        session.prepare_index()
        session.close()
    return home


@pytest.fixture
def practice(_practice_home: Path, _own_home: None) -> Path:
    """The practice book with its index, in the home of this test."""
    where = places()
    shutil.copytree(_practice_home / "data", where.data)
    shutil.copytree(_practice_home / "cache", where.cache)
    return where.practice_book


OpenSession = Callable[..., Session]


@pytest.fixture
def open_session() -> Iterator[OpenSession]:
    """Opens sessions that are closed when the test ends."""
    opened: list[Session] = []

    def open_one(location: str, **options: bool) -> Session:
        opened.append(Session.open(location, author="IK", **options))
        return opened[-1]

    yield open_one
    for session in opened:
        session.close()
