"""Columns of the projection come as they stand, packed ones in one text."""

from kbapp.store.book import Book
from kbapp.store.ledger_rows import PACKED_BY, Wanted
from tests.store.sample import case, full_case


def test_columns_of_cases_and_lines(book: Book) -> None:
    full, bare = book.save(full_case(), None), book.save(case(1), None)
    wanted = Wanted(("revision", "number"), (("state", "system", "family"),))
    revision, number, packed = book.case_columns(wanted)
    found = {r: (n, *p.split(PACKED_BY)) for r, n, p in zip(revision, number, packed, strict=True)}
    assert found == {
        full.revision: ("W-7", "proved", "brakes_hydraulic", "Lindle"),
        bare.revision: (bare.case.number, "open", "brakes_hydraulic", ""),
    }
    parts = book.line_columns("part", Wanted(("revision", "line", "cost"), (("part", "effect"),)))
    tests = book.line_columns("test", Wanted(("line", "minutes")))
    assert parts == ((full.revision,), (0,), (61.5,), (PACKED_BY.join(("brake hose", "unchanged")),))
    assert tests == ((2,), (5.0,)), "a line is the place in the timeline"


def test_an_empty_book_has_empty_columns(book: Book) -> None:
    assert book.case_columns(Wanted(("id",), (("make", "family"),))) == ((), ())
    assert book.line_columns("link", Wanted(("kind",))) == ((),)


def test_only_stamped_parts_are_read(book: Book) -> None:
    stamp = {"guard": {"warnings": [{"rule": "repeat", "weight": "strong"}]}}
    line = {"id": "e1", "kind": "part", "part": "pump"}
    said = {"id": "e2", "kind": "note", "text": 'the word "guard": stands here'}
    book.save(case(1, timeline=[{**line, **stamp}, {**line, "id": "e3"}]), None)
    book.save(case(2, timeline=[line, said]), None)
    ((case_id, entry),) = book.stamped_parts()
    assert (case_id, entry["part"], entry["guard"]["warnings"][0]["rule"]) == (case(1).id, "pump", "repeat")
