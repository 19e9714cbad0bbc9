from pathlib import Path

import pytest

from kbapp.app.advising import find_map, map_of_case
from kbapp.app.drafting import Draft, copied_map
from kbapp.app.map_shelf import MapShelf
from kbapp.errors import InputError
from kbapp.maps.shipped import shipped_map
from kbapp.records.case import CASE_FORMAT, Case, Concern, MapReference, Shop
from kbapp.records.fault import DocumentFaults
from kbapp.store.book import Book, create_book

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return create_book(str(tmp_path / "book"), SHOP)


def _case(map_id: str, version: int | None) -> Case:
    return Case(
        format=CASE_FORMAT, id="0a3b6c1e-5a4e-4c58-8f0e-5c1d2a7e9b10", state="open",
        concern=Concern(text="gets hot"), map=MapReference(id=map_id, version=version),
    )  # fmt: skip


def test_saving_makes_versions_and_old_cases_keep_theirs(book: Book) -> None:
    shelf = MapShelf(book, "IK")
    draft = Draft(copied_map(shipped_map("misfire"), "Drovane", "Misfire, Drovane", "Copied", shelf.taken()))
    first = shelf.save(draft.document, None)
    assert (first.id, first.version, first.families) == ("misfire-drovane", 1, ("Drovane",))
    assert shelf.save(first.plain(), 1).version == 1, "the same again is no new version"
    draft = Draft(first.plain(), 1)
    draft.set("sections", 0, "name", to="Renamed")
    second = shelf.save(draft.document, 1)
    assert second.version == 2
    assert [change.version for change in second.history] == [1, 2]
    assert map_of_case(_case(first.id, 1), book).sections[0].name == first.sections[0].name
    assert map_of_case(_case(first.id, 2), book).sections[0].name == "Renamed"
    assert map_of_case(_case(first.id, None), book).version == 2
    assert map_of_case(_case(first.id, 9), book).version == 2
    with pytest.raises(InputError) as moved:
        shelf.save({**first.plain(), "title": "Other"}, 1)
    assert moved.value.code == "map_moved_on"
    shelf.take_off(first.id)
    assert shelf.own() == {}
    assert find_map(first.id, book, 1) == first
    with pytest.raises(InputError):
        find_map(first.id, book)
    book.close()


def test_a_case_with_a_shipped_map_keeps_it(book: Book) -> None:
    shipped = shipped_map("misfire")
    MapShelf(book, "IK").save(shipped.plain(), None)
    assert map_of_case(_case("misfire", shipped.version), book) == shipped
    assert MapShelf(book, "IK").own()["misfire-2"].sections == shipped.sections
    book.close()


def test_a_faulty_map_is_not_kept(book: Book) -> None:
    shelf = MapShelf(book, "IK")
    with pytest.raises(DocumentFaults):
        shelf.save({**shipped_map("misfire").plain(), "sections": []}, None)
    assert shelf.own() == {}
    book.close()
