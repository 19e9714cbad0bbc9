"""The sign-off log: written with the revision it stands for, never altered, on a server by leads alone."""

from collections.abc import Callable, Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import create_engine, insert, text
from sqlalchemy.exc import DBAPIError

from kbapp.errors import EnvironmentFault, InputError
from kbapp.records.case import Case
from kbapp.resources import resource
from kbapp.store.backup import restore
from kbapp.store.book import Book, open_book
from kbapp.store.sign_offs import Signature
from kbapp.store.tables import sign_off
from tests.store.conftest import SERVER, Server, address_of
from tests.store.sample import case, case_id, changed, full_case

LEAD = Signature("MH", "lead", "proved", note="seen it myself")


def _signed(before: Case) -> Case:
    sign = {"by": "MH", "role": "lead", "at": "2026-06-05T08:10:00+02:00", "result": "proved"}
    return changed(before, state="proved", sign_off=sign)


def test_a_signature_is_a_revision_and_a_line_of_the_log(book: Book) -> None:
    saved = book.save(full_case(1, state="repaired", sign_off=None), None)
    signed = book.sign(_signed(saved.case), saved.revision, LEAD, reason="signed as proved")
    (line,) = book.sign_offs(saved.case.id)
    assert (line.by, line.role, line.result, line.own_work, line.note) == (
        "MH",
        "lead",
        "proved",
        False,
        "seen it myself",
    )
    assert (line.revision, line.author) == (signed.revision, "IK")
    assert line.digest == book.revisions(saved.case.id)[0].digest
    assert book.case(saved.case.id).signed_here
    assert book.last_sign_offs([saved.case.id, case_id(99)]) == {saved.case.id: line}
    assert book.check() == ()


def test_what_others_saved_meanwhile_is_not_signed(book: Book) -> None:
    saved = book.save(case(1, state="repaired"), None)
    book.save(changed(saved.case, lesson="x"), saved.revision, "RA")
    with pytest.raises(InputError) as moved:
        book.sign(_signed(saved.case), saved.revision, LEAD)
    assert (moved.value.code, moved.value.values["author"]) == ("sign_moved_on", "RA")
    assert book.sign_offs(saved.case.id) == ()
    with pytest.raises(InputError) as unknown:
        book.sign(case(2), 1, LEAD)
    assert unknown.value.code == "case_unknown"


def test_a_signature_from_elsewhere_is_accepted_once(book: Book) -> None:
    book.add_many([full_case(5)], origin="outside", title="their pack")
    assert not book.case(case_id(5)).signed_here
    book.accept_signature(case_id(5), "MH", Signature("MH", "lead", "accepted"))
    book.accept_signature(case_id(5), "MH")
    assert [(line.result, line.role) for line in book.sign_offs(case_id(5))] == [("accepted", "lead")]
    assert book.case(case_id(5)).signed_here


@pytest.mark.parametrize("statement", ["UPDATE sign_off SET by = 'IK'", "DELETE FROM sign_off"])
def test_the_database_itself_refuses_to_alter_the_log(book: Book, statement: str) -> None:
    saved = book.save(full_case(1, state="repaired", sign_off=None), None)
    book.sign(_signed(saved.case), saved.revision, LEAD)
    engine = book._database.engine
    with engine.connect() as connection, pytest.raises(DBAPIError, match="only grows"), connection.begin():
        connection.execute(text(statement.replace("by =", '"by" =')))
    assert [line.by for line in book.sign_offs(saved.case.id)] == ["MH"]


def test_a_line_that_names_another_document_is_found(book: Book) -> None:
    saved = book.save(case(1), None)
    row = {
        "case_id": saved.case.id, "revision": saved.revision, "digest": "00", "result": "proved", "by": "X", "role": "",
        "own_work": False, "note": "", "at": "", "author": "",
    }  # fmt: skip
    with book._database.write() as connection:
        connection.execute(insert(sign_off).values(row))
    assert [fault.code for fault in book.check()] == ["check_sign_off"]


def test_a_backup_holds_the_log(book: Book, empty_place: str, tmp_path: Path) -> None:
    saved = book.save(full_case(1, state="repaired", sign_off=None), None)
    signed = book.sign(_signed(saved.case), saved.revision, LEAD)
    book.backup(tmp_path / "b.zip")
    restore(tmp_path / "b.zip", empty_place)
    with open_book(empty_place) as again:
        assert again.sign_offs(saved.case.id) == book.sign_offs(saved.case.id)
        again.sign(changed(signed.case, lesson="again"), signed.revision, LEAD)
        assert len(again.sign_offs(saved.case.id)) == 2
        assert again.check() == ()


def test_several_cases_are_saved_together_or_not_at_all(book: Book) -> None:
    old = book.save(case(1), None)
    both = book.save_together([(case(2), None), (changed(old.case, lesson="x"), old.revision)], reason="came back")
    assert [one.case.id for one in both] == [case_id(2), case_id(1)]
    with pytest.raises(InputError):
        book.save_together([(case(3), None), (case(4), 17)])
    assert book.count() == 2


Logins = Callable[[str], str]


@pytest.fixture
def logins(server: Server, ready_database: str) -> Iterator[Logins]:
    """A book whose rights were set by the script that ships; gives the address of a new login of a group."""
    url = server.make(ready_database)
    engine = create_engine(url)
    with engine.begin() as connection:
        connection.exec_driver_sql((resource("schema") / "postgresql" / "lead_role.sql").read_text("utf-8"))
    engine.dispose()
    made: list[str] = []

    def login(group: str) -> str:
        made.append(f"provebook_test_{uuid4().hex[:12]}")
        server._run(f"CREATE ROLE {made[-1]} LOGIN PASSWORD 'open sesame' IN ROLE {group}")
        return address_of(url.set(username=made[-1], password="open sesame"))

    yield login
    server.drop(str(url.database))
    for name in made:
        server._run(f"DROP ROLE {name}")


@pytest.mark.postgres
@pytest.mark.skipif(not SERVER, reason="KBAPP_TEST_POSTGRES names no server")
def test_on_a_server_only_leads_sign(logins: Logins) -> None:
    with open_book(logins("provebook_shop"), author="IK") as shop, open_book(logins("provebook_lead")) as lead:
        saved = shop.save(full_case(1, state="repaired", sign_off=None), None)
        with pytest.raises(EnvironmentFault) as refused:
            shop.sign(_signed(saved.case), saved.revision, LEAD)
        assert refused.value.code == "sign_needs_lead_login"
        assert shop.case(saved.case.id).case.state == "repaired", "the revision was taken back with the signature"
        lead.sign(_signed(saved.case), saved.revision, LEAD)
        assert [line.by for line in shop.sign_offs(saved.case.id)] == ["MH"]
        for book in (shop, lead):
            with book._database.engine.connect() as connection, pytest.raises(DBAPIError):
                connection.execute(text("UPDATE sign_off SET by = 'IK'"))
        assert shop.files.put(b"a photo")
        assert shop.put_shelved("kit", "shop", "{}") is not None
        assert shop.check() == ()
