"""Checking finds every way a book can disagree with itself; repairing mends what can be derived."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import text

from kbapp.errors import Cancelled, DamageError
from kbapp.records.private import PrivateDetails
from kbapp.store.book import Book, create_book, open_book
from kbapp.wording import fault_sentence, known_codes
from tests.store.conftest import Server, address_of, copy_of
from tests.store.sample import SHOP, case, case_id, changed, full_case

PROJECTION = {"check_head", "check_head_missing", "check_lines", "check_orphan"}


def _fill(book: Book) -> None:
    saved = book.save(full_case(), None)
    book.save(changed(saved.case, lesson="two"), saved.revision)
    book.save(case(1), None)
    book.undo_batch(book.add_many([case(2)], origin="outside").id)
    book.set_private(case_id(1), PrivateDetails(plate="AB 12"))
    book.add_many([full_case(8)], origin="outside")
    book.accept_signature(case_id(8), "MH")
    assert book.check() == ()


@pytest.fixture(scope="session")
def filled_folder(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("filled") / "book"
    with create_book(folder, SHOP, author="IK") as book:
        _fill(book)
    return str(folder)


@pytest.fixture(scope="session")
def filled_database(server: Server) -> str:
    url = server.make()
    with create_book(address_of(url), SHOP, author="IK") as book:
        _fill(book)
    return str(url.database)


@pytest.fixture
def filled(kind: str, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Book]:
    ready = request.getfixturevalue("filled_folder" if kind == "sqlite" else "filled_database")
    for location in copy_of(kind, ready, tmp_path / "book", request):
        with open_book(location, author="IK") as book:
            yield book


def _damage(book: Book, *statements: str) -> None:
    with book._database.write() as connection:
        if book._database.embedded:
            connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
        for statement in statements:
            connection.execute(text(statement))


DAMAGES = [
    ("UPDATE cases SET make = 'Other' WHERE number = 'W-7'", {"check_head"}),
    ("UPDATE cases SET signed_here = NOT signed_here WHERE number = 'W-8'", {"check_head"}),
    ("UPDATE cases SET change = 99 WHERE number = 'W-7'", {"check_head"}),
    ("UPDATE cases SET removed = NOT removed WHERE number = 'W-7'", {"check_head"}),
    ("DELETE FROM cases WHERE number = 'W-7'", {"check_head_missing", "check_orphan"}),
    ("DELETE FROM symptom WHERE line = 1", {"check_lines"}),
    ("UPDATE part SET cost = 1", {"check_lines"}),
    ("UPDATE words SET text = ''", {"check_lines"}),
    ("INSERT INTO code VALUES (1, 7, 'P0001', '', '')", {"check_orphan"}),
    ("UPDATE counter SET change = change + 1", {"check_counter"}),
    ("UPDATE counter SET change = change - 1", {"check_counter"}),
    ("DELETE FROM counter", {"check_counter"}),
    ("DELETE FROM change WHERE number = 2", {"check_feed", "check_orphan", "check_head", "check_lines"}),
    ("UPDATE change SET case_id = 'x' WHERE number = 1", {"check_change", "check_orphan", "check_document"}),
    ("UPDATE revision SET digest = 'x' WHERE id = 1", {"check_digest"}),
    ("UPDATE revision SET document = document || ' ' WHERE id = 1", {"check_digest", "check_canonical"}),
    ("UPDATE revision SET document = '{}' WHERE id = 1", {"check_digest", "check_document"}),
    ("UPDATE revision SET document = replace(document, 'two', 'six')", {"check_digest", "check_lines"}),
    ("UPDATE private SET plate_key = ''", {"check_private"}),
    ("UPDATE private SET case_id = 'x'", {"check_orphan"}),
    ("INSERT INTO batch VALUES ('b', '', 'own', '', '', 1, 1, NULL)", {"check_orphan"}),
    ("UPDATE cases SET number = 'W-7', origin = 'own'", {"check_head", "check_number"}),
]


@pytest.mark.parametrize(("statement", "codes"), DAMAGES)
def test_damage_is_found_and_named(filled: Book, statement: str, codes: set[str]) -> None:
    _damage(filled, statement)
    faults = filled.check()
    found = {fault.code for fault in faults}
    if "case_id = 'x' WHERE number" in statement:  # one damage, several views of it
        assert "check_change" in found
        return
    assert found == codes
    assert found <= known_codes()
    for fault in faults:
        assert fault.path in fault_sentence(fault)


@pytest.mark.parametrize("statement", [damage for damage, codes in DAMAGES if codes <= PROJECTION])
def test_what_can_be_derived_is_repaired(filled: Book, statement: str) -> None:
    before = filled.list_cases(), filled.changes_since(0), filled.documents_changed_since(0)
    _damage(filled, statement)
    repaired = filled.repair_projection()
    remaining = {fault.path.partition(".")[0] for fault in filled.check()}
    assert remaining <= {"batch", "private"}
    assert repaired == 4
    assert (filled.list_cases(), filled.changes_since(0), filled.documents_changed_since(0)) == before


def test_a_document_that_cannot_be_read_stops_the_repair_unharmed(filled: Book) -> None:
    head = filled.case(case_id(1)).revision
    _damage(filled, f"UPDATE revision SET document = '{{' WHERE id = {head}")
    with pytest.raises(DamageError) as damaged:
        filled.repair_projection()
    assert damaged.value.code == "document_damaged"
    assert filled.count() == 3
    with pytest.raises(DamageError):
        filled.case(case_id(1))
    assert "check_document" in {fault.code for fault in filled.check()}


def test_checking_tells_its_progress_and_stops(filled: Book) -> None:
    steps: list[tuple[int, int]] = []
    filled.check(lambda *step: steps.append(step))
    assert steps == sorted(steps)
    assert steps[-1][0] == steps[-1][1] == 5 + 4
    with pytest.raises(Cancelled):
        filled.check(cancel=lambda: True)


def test_a_repair_can_be_stopped_without_harm(filled: Book) -> None:
    with pytest.raises(Cancelled):
        filled.repair_projection(cancel=lambda: True)
    assert filled.check() == ()
