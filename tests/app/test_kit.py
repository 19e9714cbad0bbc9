from pathlib import Path

import pytest

from kbapp.app.kit import COMMON_KIT, KIT_KEY, KIT_SHELF, ShopKit
from kbapp.maps.shipped import shipped_maps
from kbapp.records.case import Shop
from kbapp.store.book import Book, create_book

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return create_book(str(tmp_path / "book"), SHOP)


def test_what_is_ticked_is_here_and_the_rest_of_the_common_kit_is_missing(book: Book) -> None:
    kit = ShopKit(book, "IK")
    assert kit.missing() == frozenset()
    kit.keep({"refractometer": "borrow"})
    kit.tick(frozenset({"multimeter", "oscilloscope"}))
    assert kit.read()["multimeter"] == "have"
    assert kit.read()["refractometer"] == "borrow"
    assert kit.missing() == frozenset(COMMON_KIT) - {"multimeter", "oscilloscope"}
    kit.tick(frozenset())
    assert kit.read() == {"refractometer": "borrow"}
    book.close()


@pytest.mark.parametrize("document", ["", "{", "[]", '{"kit": 3}', '{"other": 1}', '{"kit": {"a": "lent"}}'])
def test_a_document_nobody_can_read_tells_nothing(book: Book, document: str) -> None:
    book.put_shelved(KIT_SHELF, KIT_KEY, document)
    assert ShopKit(book, "IK").read() == {}
    book.close()


def test_every_piece_of_common_kit_is_asked_for_by_a_shipped_map() -> None:
    named = {name for section_map in shipped_maps() for test in section_map.tests
             for name in (*test.kit, *(piece for other in test.substitutes for piece in other.kit))}  # fmt: skip
    assert set(COMMON_KIT) <= named
