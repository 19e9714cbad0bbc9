"""Says aloud whether the store was tested on a PostgreSQL server, and tests what only a server has."""

import sys
import threading
from subprocess import run

import pytest
from sqlalchemy import text

from kbapp.errors import EnvironmentFault, InputError
from kbapp.store.book import create_book, open_book
from kbapp.store.database import Database
from kbapp.store.location import parse_location
from kbapp.wording import sentence
from tests.store.conftest import SERVER, Server, address_of
from tests.store.sample import SHOP, case, changed

pytestmark = [
    pytest.mark.postgres,
    pytest.mark.skipif(
        not SERVER, reason="KBAPP_TEST_POSTGRES names no server: nothing of the store ran on PostgreSQL"
    ),
]


@pytest.fixture
def address(server: Server, ready_database: str) -> str:
    return address_of(server.make(ready_database))


def test_a_lost_server_refuses_the_save_and_loses_nothing(server: Server, address: str) -> None:
    with open_book(address) as book:
        saved = book.save(case(1), None)
        name = str(parse_location(address).url.database)  # type: ignore[union-attr]
        _shut(server, name, open_again=False)
        with pytest.raises(EnvironmentFault) as lost:
            book.save(changed(saved.case, lesson="typed while the server was away"), saved.revision)
        assert lost.value.code == "server_refused"
        _shut(server, name, open_again=True)
        again = book.save(changed(saved.case, lesson="typed while the server was away"), saved.revision)
        assert book.case(saved.case.id).case == again.case
        assert not book.check()


def _shut(server: Server, name: str, *, open_again: bool) -> None:
    server._run(f"ALTER DATABASE {name} ALLOW_CONNECTIONS {'true' if open_again else 'false'}")
    server._run(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'")


def test_a_connection_cut_in_the_middle_of_a_save_writes_nothing(server: Server, address: str) -> None:
    name = str(parse_location(address).url.database)  # type: ignore[union-attr]
    with open_book(address) as book:
        saved = book.save(case(1), None)

        def save_and_be_cut() -> None:
            with book._database.write() as connection:
                connection.execute(text("UPDATE cases SET number = 'half'"))
                server._run(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'")
                connection.execute(text("UPDATE cases SET number = 'whole'"))

        with pytest.raises(EnvironmentFault) as lost:
            save_and_be_cut()
        assert lost.value.code == "server_lost"
        assert book.case(saved.case.id).case == saved.case
        assert not book.check()


@pytest.mark.parametrize(
    ("part", "code"),
    [
        ({"host": "127.0.0.1", "port": 1}, "server_lost"),
        ({"database": "provebook_that_is_not_there"}, "server_no_database"),
        ({"host": "no-such-host.invalid"}, "server_lost"),
    ],
)
def test_a_server_out_of_reach_is_said(server: Server, part: dict[str, str], code: str) -> None:
    url = server.url.set(**part).set(password="open sesame")  # type: ignore[arg-type]
    with pytest.raises(EnvironmentFault) as refused:
        open_book(address_of(url))
    assert refused.value.code == code
    assert "sesame" not in sentence(refused.value)
    assert "sesame" not in repr(refused.value)


def test_a_database_with_other_tables_is_refused(server: Server) -> None:
    url = server.make()
    database = Database(parse_location(address_of(url)))
    with database.engine.begin() as connection:
        connection.execute(text("CREATE TABLE cases (id int)"))
    database.close()
    with pytest.raises(InputError) as refused:
        create_book(address_of(url), SHOP)
    assert refused.value.code == "database_not_empty"
    with pytest.raises(InputError) as no_book:
        open_book(address_of(url))
    assert no_book.value.code == "not_a_book"
    server.drop(str(url.database))


def test_two_who_make_the_book_at_once_make_one(server: Server) -> None:
    url = server.make()
    codes: list[str] = []

    def make() -> None:
        try:
            create_book(address_of(url), SHOP).close()
            codes.append("made")
        except InputError as error:
            codes.append(error.code)

    threads = [threading.Thread(target=make) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(codes) == ["book_exists", "book_exists", "made"]
    server.drop(str(url.database))


def test_a_long_writer_makes_others_give_up_in_time(address: str) -> None:
    with open_book(address, busy_seconds=0.3) as book, open_book(address) as other:
        saved = book.save(case(1), None)
        with other._database.write(), pytest.raises(EnvironmentFault) as busy:
            book.save(changed(saved.case, lesson="x"), saved.revision)
        assert busy.value.code == "book_busy"
        assert book.save(changed(saved.case, lesson="x"), saved.revision).change == 2


def test_opening_a_server_needs_no_migration_tool(address: str) -> None:
    code = (
        f"import sys; from kbapp.store.book import open_book; open_book({address!r}).close()\n"
        "print('alembic' in sys.modules)"
    )
    done = run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
