"""Private details: kept apart, found again, erased for good."""

import pytest
from sqlalchemy import String, cast, select

from kbapp.errors import InputError
from kbapp.records.private import PrivateDetails
from kbapp.store import tables
from kbapp.store.book import Book
from kbapp.store.private_details import ERASED_NOTE
from kbapp.wording import known_codes
from tests.store.sample import case, case_id, changed

DETAILS = PrivateDetails(
    customer="A. Sample",
    phone="+49 (171) 234 56-78",
    plate="wl·ab 123",
    vin="ZZZ0TEST0HE 123456",
    address="12 Mill\nTown",
)


@pytest.fixture
def _kept(book: Book) -> None:
    for n in (1, 2):
        book.save(case(n, vehicle_ref="v-1"), None)
    book.set_private(case_id(1), DETAILS)


@pytest.mark.usefixtures("_kept")
def test_details_are_found_again(book: Book) -> None:
    assert book.private(case_id(1)) == DETAILS
    assert book.private(case_id(2)).empty
    for wanted, by in (
        ("WLAB123", "plate"), ("wl-ab-123", "plate"), ("0171 2345678", "phone"), ("0049171/2345678", "phone"),
        ("zzz0test0he123456", "vin"), ("123456", "vin"), ("he123456", "vin"),
    ):  # fmt: skip
        assert [(one.case_id, one.by, one.vehicle_ref) for one in book.find_private(wanted)] == [
            (case_id(1), by, "v-1")
        ], wanted


@pytest.mark.usefixtures("_kept")
@pytest.mark.parametrize("wanted", ["", "%", "%%%%%%", "______", "23456", "12", "AB123", "234567", "Sample"])
def test_less_than_that_finds_nothing(book: Book, wanted: str) -> None:
    assert book.find_private(wanted) == ()


@pytest.mark.usefixtures("_kept")
def test_empty_fields_do_not_match_each_other(book: Book) -> None:
    book.set_private(case_id(2), PrivateDetails(customer="B"))
    assert [one.case_id for one in book.find_private("WLAB123")] == [case_id(1)]


@pytest.mark.usefixtures("_kept")
def test_details_never_enter_documents_or_search(book: Book) -> None:
    book.save(changed(book.case(case_id(1)).case, lesson="x"), book.case(case_id(1)).revision)
    with book._database.read() as connection:
        for table in tables.metadata.sorted_tables:
            if table is tables.private:
                continue
            for row in connection.execute(select(*(cast(column, String) for column in table.c))):
                assert "Sample" not in " ".join(map(str, row)), table.name
    assert not book.text_search("Sample")


@pytest.mark.usefixtures("_kept")
def test_an_erasure_is_logged_and_leaves_the_case(book: Book) -> None:
    before = book.case(case_id(1))
    number = book.erase_private(case_id(1), "MH")
    assert book.private(case_id(1)).empty
    assert book.find_private("WLAB123") == ()
    erased = book.changes_since(number - 1)[0]
    assert (erased.kind, erased.case_id, erased.author) == ("erased", case_id(1), "MH")
    assert book.case(case_id(1)).revision == before.revision
    assert [item.change for item in book.documents_changed_since(number - 1)] == [number]
    assert ERASED_NOTE in known_codes()
    assert not book.check()


@pytest.mark.usefixtures("_kept")
def test_setting_empty_details_forgets_them(book: Book) -> None:
    book.set_private(case_id(1), PrivateDetails())
    with book._database.read() as connection:
        assert connection.execute(tables.private.select()).first() is None


def test_details_need_a_case(book: Book) -> None:
    with pytest.raises(InputError) as not_set:
        book.set_private(case_id(1), DETAILS)
    with pytest.raises(InputError) as not_erased:
        book.erase_private(case_id(1))
    assert (not_set.value.code, not_erased.value.code) == ("case_unknown", "case_unknown")
    assert book.last_change() == 0
