"""What the Hand-Back Sheet says, and that the shop's copy holds nothing private."""

from pathlib import Path

import pytest

from kbapp.app.sheet import sheet_facts, without_private
from kbapp.records.private import PrivateDetails
from kbapp.store.book import Book, open_book
from kbapp.wording.hand_back import SheetText, sheet_text
from tests.app.proof_cases import BASELINE, PUMP, book_with, repaired

PRIVATE = PrivateDetails(
    customer="Ada May Quillon", plate="WL-AB 123", phone="0171 2345678", vin="1M8GDM9AXKP042788", order_number="A-7734",
    address="3 Mill Row", email="ada@example.org",
)  # fmt: skip
TOLD = repaired(
    number="P-1", lesson="Ring Quillon on 0171-2345678 about WLAB123, order A-7734. It may come back.",
    timeline=[BASELINE, {**PUMP, "text": "Ada paid; sent to ada@example.org, 3 Mill Row; VIN 1M8GDM9AXKP042788"}],
)  # fmt: skip


@pytest.fixture
def book(tmp_path: Path) -> Book:
    book_with(tmp_path / "book", TOLD)
    book = open_book(tmp_path / "book")
    book.set_private(TOLD.id, PRIVATE)
    return book


def _all(text: SheetText) -> str:
    parts = [text.title, text.subtitle, text.status, text.foot, *(pair.words for pair in text.pairs)]
    for block in text.blocks:
        parts += [block.heading, *block.paragraphs, *(pair.words for pair in block.pairs)]
        parts += [f"{one.name} {one.before} {one.after}" for one in block.compared]
    return "\n".join(parts)


def test_the_customer_reads_their_own_name_the_shop_copy_holds_none(book: Book) -> None:
    with book:
        customer = _all(sheet_text(sheet_facts(book, "P-1", "customer")))
        shop = _all(sheet_text(sheet_facts(book, "P-1", "shop")))
    assert "Ada May Quillon" in customer
    assert "WL-AB 123" in customer
    for value in ("Quillon", "Ada", "WL-AB", "WLAB123", "2345678", "A-7734", "Mill Row", "example.org", "1M8GDM9"):
        assert value not in shop, value
    assert "It may come back" in shop, "a word that is no name stays"
    assert "Timeline" not in customer
    assert "145.00 EUR" in shop


def test_what_is_not_private_is_left_alone() -> None:
    assert without_private(TOLD, PrivateDetails()) == TOLD
    assert without_private(TOLD, PrivateDetails(customer="Li")) == TOLD
    assert without_private(TOLD, PRIVATE).timeline[0] == TOLD.timeline[0]


@pytest.mark.parametrize(
    ("fields", "across", "said"),
    [
        ({"state": "open", "cause": None}, "INTERIM", "not repaired yet"),
        ({"retest": []}, "INTERIM", "repaired, but not proved. No retest"),
        ({}, "INTERIM", "repaired, but not proved"),
        ({"state": "withdrawn", "withdrawn_reason": "wrong vehicle"}, "INTERIM", "no longer stands"),
        ({"state": "came_back"}, "INTERIM", "came back after this repair"),
        ({"state": "proved", "sign_off": {"by": "IK", "own_work": True}}, "", "a lead signed (IK, own work)"),
    ],
)
def test_interim_unless_proved(tmp_path: Path, fields: dict[str, object], across: str, said: str) -> None:
    case = repaired(**fields)
    book_with(tmp_path / "book", case)
    with open_book(tmp_path / "book") as book:
        text = sheet_text(sheet_facts(book, case.id, "customer"))
    assert text.across == across
    assert said in text.status


def test_what_was_not_tested_names_the_sections_of_the_map(tmp_path: Path) -> None:
    case = repaired(
        map={"id": "engine-overheating"}, cause=None,
        timeline=[{**BASELINE, "test": "radiator_spread", "outcome": "cold_outlet"}, PUMP,
        {"id": "e3", "kind": "test", "test": "gas_test", "status": "unable", "why": "no tester", "by": "IK"},
        {"id": "e4", "kind": "finding", "text": "Little flow: the pump or its passages.", "by": "IK"}],
    )  # fmt: skip
    book_with(tmp_path / "book", case)
    with open_book(tmp_path / "book") as book:
        facts = sheet_facts(book, case.id, "customer")
        said = _all(sheet_text(facts))
    assert facts.section_map is not None
    assert facts.untested
    assert all(name in said for name in facts.untested)
    assert "Could not be run: Gas test (no tester)" in said
    assert "Little flow: the pump or its passages. (IK)" in said


def test_several_changes_are_told_to_the_customer(tmp_path: Path) -> None:
    service = {"id": "e3", "kind": "service", "text": "coolant changed", "by": "IK", "at": "2026-06-04T15:00:00+02:00"}
    cause = {"text": "Pump", "separated": False}
    case = repaired(timeline=[BASELINE, PUMP, service], cause=cause)
    book_with(tmp_path / "book", case)
    with open_book(tmp_path / "book") as book:
        said = _all(sheet_text(sheet_facts(book, case.id, "customer")))
    assert "which of them cured it cannot be told" in said
    assert "Water pump (line 2), Coolant changed (line 3)" in said
