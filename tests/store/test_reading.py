"""Lists, filters, text search, facts and the shelf."""

import pytest

from kbapp.errors import InputError
from kbapp.store.book import Book
from kbapp.store.facts import FacetField
from kbapp.store.reading import CaseFilter
from tests.store.sample import case, case_id, changed, full_case


@pytest.fixture
def filled(book: Book) -> Book:
    book.save(full_case(), None)
    book.save(case(1, opened="2026-01-10", vehicle={"make": "Velmond", "family": "Quenby"}), None)
    book.save(case(2, opened="2026-02", state="repaired", concern={"text": "ölig, 50% more_or less \\ x"}), None)
    book.add_many([full_case(8, vehicle={"make": "Kestrow", "family": "Marrick"}, follow_ups=[])], origin="outside")
    return book


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (CaseFilter(), [8, 2, 1, 7]),
        (CaseFilter(states=("open", "repaired")), [2, 1]),
        (CaseFilter(systems=("brakes_hydraulic",)), [8, 1, 7]),
        (CaseFilter(make="Kestrow"), [8, 7]),
        (CaseFilter(make="Kestrow", family="Lindle", generation="2", engine="K20D"), [7]),
        (CaseFilter(symptom="sinking pedal"), [8, 7]),
        (CaseFilter(vehicle_ref="v-7f3a91", origins=("own",)), [7]),
        (CaseFilter(origins=("outside",)), [8]),
        (CaseFilter(signed_here=True), [7]),
        (CaseFilter(signed_here=False), [8, 2, 1]),
        (CaseFilter(opened_from="2026-02-01"), [8, 2, 7]),
        (CaseFilter(opened_to="2026-02-01"), [2, 1]),
        (CaseFilter(follow_up_due_by="2026-08-20"), [7]),
        (CaseFilter(follow_up_due_by="2026-08-19"), []),
    ],
)
def test_filters(filled: Book, wanted: CaseFilter, found: list[int]) -> None:
    assert [row.id for row in filled.list_cases(wanted)] == [case_id(n) for n in found]
    assert filled.count(wanted) == len(found)


def test_lists_come_in_pages(filled: Book) -> None:
    everything = filled.list_cases()
    assert filled.list_cases(limit=2) + filled.list_cases(limit=2, offset=2) == everything
    assert filled.rows([row.id for row in everything] + [case_id(99)]) == everything
    assert [stored.case.id for stored in filled.cases([case_id(2), case_id(99), case_id(7)])] == [
        case_id(2),
        case_id(7),
    ]


def test_a_row_tells_the_case_in_one_line(filled: Book) -> None:
    row = filled.rows([case_id(7)])[0]
    stored = filled.case(case_id(7))
    assert (row.number, row.state, row.make, row.cause, row.origin, row.signed_here) == (
        "W-7", "proved", "Kestrow", "worn master cylinder seals", "own", True,
    )  # fmt: skip
    assert (row.revision, row.change, row.saved_at, row.author) == (
        stored.revision, stored.change, stored.saved_at, stored.author,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("sinks slowly", [8, 7]), ("SLOWLY pedal LINDLE", [7]), ("cafe", [8, 7]), ("Olig", [2]), ("50%", [2]),
        ("more_or", [2]), ("\\", [2]), ("50_", []), ("100 % firm", [8, 7]), ("", []), ("   ", []), ("nothing", []),
    ],
)  # fmt: skip
def test_text_search_without_an_index(filled: Book, words: str, found: list[int]) -> None:
    assert [row.id for row in filled.text_search(words)] == [case_id(n) for n in found]
    assert len(filled.text_search(words, limit=1)) == min(1, len(found))


def test_facts_tell_parts_tests_and_causes(filled: Book) -> None:
    parts = filled.part_facts()
    assert [(one.case.case_id, one.part, one.cost, one.case.signed_here) for one in parts] == [
        (case_id(7), "brake hose", 61.5, True), (case_id(8), "brake hose", 61.5, False),
    ]  # fmt: skip
    tests = filled.test_facts("low-pedal")
    assert [(one.test, one.outcome, one.case.cause_section) for one in tests] == [
        ("hold_pedal", "sinks", "master cylinder")
    ] * 2
    assert filled.test_facts("other map") == ()
    causes = filled.cause_facts()
    assert [one.case.case_id for one in causes] == [case_id(n) for n in (7, 1, 2, 8)]
    assert causes[0].symptoms == ("sinking pedal", "soft on Mondays")
    assert causes[0].case.cause_separated is False


@pytest.mark.parametrize(
    ("field", "counts"),
    [
        ("make", (("Kestrow", 2), ("Velmond", 1))), ("state", (("proved", 2), ("open", 1), ("repaired", 1))),
        ("symptom", (("sinking pedal", 2), ("soft on Mondays", 2))), ("code", (("C0040", 2), ("C0121", 2))),
        ("system", (("brakes_hydraulic", 3),)), ("origin", (("own", 3), ("outside", 1))),
    ],
)  # fmt: skip
def test_facets_count_cases_in_view(filled: Book, field: FacetField, counts: tuple[tuple[str, int], ...]) -> None:
    assert filled.facet_counts(field) == counts


def test_what_is_undone_is_in_no_list(filled: Book) -> None:
    filled.undo_batch(filled.batches()[0].id)
    assert [one.case.case_id for one in filled.part_facts()] == [case_id(7)]
    assert filled.facet_counts("code") == (("C0040", 1), ("C0121", 1))
    assert filled.distinct("family") == ("Lindle", "Quenby")
    assert filled.count() == 3


def test_old_lines_are_in_no_list(filled: Book) -> None:
    stored = filled.case(case_id(7))
    filled.save(changed(stored.case, codes=[], timeline=[], retest=[]), stored.revision)
    assert filled.facet_counts("code") == (("C0040", 1), ("C0121", 1))
    assert [one.case.case_id for one in filled.part_facts()] == [case_id(8)]


def test_the_shelf_keeps_the_shops_own_documents(book: Book) -> None:
    first = book.put_shelved("map", "low-pedal", "one")
    assert first is not None
    assert book.put_shelved("map", "low-pedal", "one") == first
    second = book.put_shelved("map", "low-pedal", "two", "MH", based_on=first.version)
    assert second is not None
    assert (second.document, second.author) == ("two", "MH")
    assert second.version > first.version
    book.put_shelved("kit", "low-pedal", "gauge")
    book.put_shelved("map", "abs", "three")
    assert [one.key for one in book.all_shelved("map")] == ["abs", "low-pedal"]
    with pytest.raises(InputError) as refused:
        book.put_shelved("map", "low-pedal", "mine", based_on=first.version)
    assert refused.value.code == "shelf_moved_on"
    assert book.put_shelved("map", "low-pedal", "") is None
    assert book.shelved("map", "low-pedal") is None
    assert [one.key for one in book.all_shelved("map")] == ["abs"]
