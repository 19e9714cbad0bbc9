import pytest

from kbapp.records.case import Case
from kbapp.records.case_document import check_case
from tests.records.documents import ID, case, full, minimal


def test_the_full_document_uses_every_field() -> None:
    assert set(full()) == {name for name in Case.model_fields if name != "withdrawn_reason"}


def test_plain_leaves_defaults_out() -> None:
    assert case().plain() == minimal()
    assert case(notes="", timeline=[], shop=None, links=[]).plain() == minimal()
    assert case(cause={"text": "x", "separated": True}).plain()["cause"] == {"text": "x"}


@pytest.mark.parametrize("value", [ID.upper(), ID])
def test_ids_are_kept_in_small_letters(value: str) -> None:
    link = {"kind": "same_as", "case": "8D2E61F4-17C3-4F0A-B6A5-94E0C7D3AA25"}
    found = check_case(minimal(id=value, links=[link])).unwrap()
    assert found.id == ID
    assert found.links[0].case == link["case"].lower()


@pytest.mark.parametrize("value", ["", ID + "\n", ID[:-1], "{" + ID + "}", ID.replace("-", ""), "g" + ID[1:]])
def test_other_ids_are_refused(value: str) -> None:
    assert [fault.code for fault in check_case(minimal(id=value)).faults] == ["wrong_form"]


def test_tests_are_named_by_a_map_or_by_free_words() -> None:
    free = {"kind": "test", "test": "swapped coils 2 and 3", "isolates": "coil", "outcome": "misfire moved to 2"}
    named = {"kind": "test", "test": "swap_coils", "outcome": "moved"}
    assert case(timeline=[free]).map is None
    assert case(timeline=[named], map={"id": "misfire"}).map is not None
    assert case(timeline=[free], map={"id": "misfire", "version": 3}).timeline[0].id == "e1"
