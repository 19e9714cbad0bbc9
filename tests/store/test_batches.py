"""Batches: all or nothing, published at once, undone as one."""

import threading
import time
from collections.abc import Iterator
from typing import cast

import pytest

from kbapp.errors import Cancelled, InputError, KbError
from kbapp.records.private import PrivateDetails
from kbapp.store import batches, tables
from kbapp.store.book import Book, open_book
from kbapp.store.heads import utc_ago
from kbapp.store.values import Incoming, ManyIncoming, Origin
from tests.bench.generate import generated_cases
from tests.store.sample import case, case_id, changed, full_case


def _refused(book: Book, incoming: list[Incoming], origin: str = "own") -> KbError:
    before = book.last_change(), book.count()
    with pytest.raises(InputError) as refused:
        book.add_many(incoming, origin=cast("Origin", origin))
    assert (book.last_change(), book.count()) == before
    assert not book.check()
    return refused.value


def test_a_batch_comes_in_as_one(book: Book) -> None:
    batch = book.add_many([full_case(), case(2)], origin="own", title="old records")
    assert batch.cases == (full_case().id, case_id(2))
    assert (batch.first_change, batch.last_change, batch.count, batch.title) == (1, 2, 2, "old records")
    assert book.case(full_case().id).case == full_case()
    assert book.case(case_id(2)).case.number.endswith("-0001")
    assert [item.batch for item in book.changes_since(0)] == [batch.id] * 2
    assert book.batch(batch.id) == batch
    assert [one.id for one in book.batches()] == [batch.id]
    assert not book.check()


def test_an_empty_batch_is_refused(book: Book) -> None:
    assert _refused(book, []).code == "batch_empty"


def test_one_wrong_case_refuses_all(book: Book) -> None:
    book.save(case(1), None)
    assert _refused(book, [Incoming(case(2)), Incoming(case(1))]).code == "case_exists"
    assert _refused(book, [Incoming(case(2)), Incoming(case(2))]).code == "case_twice"
    assert _refused(book, [Incoming(case(2)), Incoming(case(1), based_on=77)]).code == "case_moved_on"
    assert _refused(book, [Incoming(case(3), based_on=1)]).code == "case_moved_on"
    number = book.case(case_id(1)).case.number
    assert _refused(book, [Incoming(case(2)), Incoming(case(3, number=number))]).code == "number_taken"
    assert _refused(book, [Incoming(case(2, number="a")), Incoming(case(3, number="a"))]).code == "number_taken"


def test_private_details_come_with_their_case(book: Book) -> None:
    details = PrivateDetails(customer="Sample", plate="AB-12 CD")
    book.add_many([Incoming(case(1), details), Incoming(case(2), PrivateDetails()), Incoming(case(3))], origin="own")
    assert book.private(case_id(1)) == details
    assert book.private(case_id(2)).empty
    assert [match.case_id for match in book.find_private("ab12cd")] == [case_id(1)]


def test_a_batch_may_revise_a_case_that_has_not_moved(book: Book) -> None:
    book.add_many([full_case()], origin="outside")
    head = book.case(full_case().id).revision
    revised = changed(full_case(), lesson="said better")
    batch = book.add_many([Incoming(revised, based_on=head), Incoming(case(1))], origin="outside")
    stored = book.case(revised.id)
    assert (stored.case, stored.origin, stored.signed_here) == (revised, "outside", False)
    assert book.revisions(revised.id)[0].based_on == head
    assert not book.check()
    undone = book.undo_batch(batch.id)
    assert (undone.removed, undone.set_back, undone.kept) == ((case_id(1),), (revised.id,), ())
    assert book.case(revised.id).case == full_case()
    assert book.case(revised.id).revision == head
    assert not book.check()


def test_a_revised_case_of_ours_stays_ours(book: Book) -> None:
    saved = book.save(full_case(), None)
    book.add_many([Incoming(changed(full_case(), notes="x"), based_on=saved.revision)], origin="outside")
    assert book.case(full_case().id).origin == "own"


def test_undoing_takes_out_of_view_what_nobody_touched(book: Book) -> None:
    mine = book.save(case(9), None)
    batch = book.add_many([Incoming(case(n), PrivateDetails(plate=f"P{n}")) for n in range(1, 5)], origin="outside")
    edited = book.save(changed(book.case(case_id(2)).case, lesson="ours now"), book.case(case_id(2)).revision)
    book.set_private(case_id(3), PrivateDetails(plate="NEW"))
    last = book.last_change()
    undone = book.undo_batch(batch.id, "MH")
    assert (undone.removed, undone.set_back, undone.kept) == ((case_id(1), case_id(4)), (), (case_id(2), case_id(3)))
    assert {row.id for row in book.list_cases()} == {mine.case.id, edited.case.id, case_id(3)}
    assert [(item.case_id, item.case) for item in book.documents_changed_since(last)] == [
        (case_id(1), None), (case_id(4), None),
    ]  # fmt: skip
    assert {(item.kind, item.author) for item in book.changes_since(last)} == {("removed", "MH")}
    assert undone.last_change == last + 2 == book.last_change()
    with pytest.raises(InputError) as removed:
        book.case(case_id(1))
    assert removed.value.code == "case_removed"
    assert book.private(case_id(1)).empty
    assert len(book.revisions(case_id(1))) == 1
    assert {row.id for row in book.text_search("concern")} == {row.id for row in book.list_cases()}
    assert book.batch(batch.id).undone_at
    assert not book.check()


def test_a_batch_is_undone_once(book: Book) -> None:
    batch = book.add_many([case(1)], origin="own")
    book.undo_batch(batch.id)
    for batch_id, code in ((batch.id, "batch_undone"), ("unknown", "batch_unknown")):
        with pytest.raises(InputError) as refused:
            book.undo_batch(batch_id)
        assert refused.value.code == code


def test_a_removed_case_can_come_back(book: Book) -> None:
    batch = book.add_many([case(1), case(2), case(3)], origin="outside")
    removed = book.case(case_id(1))
    book.undo_batch(batch.id)
    book.add_many([case(1)], origin="outside")
    assert book.case(case_id(1)).case.number == removed.case.number
    assert book.save(case(2), None).case.id == case_id(2)
    assert book.save(changed(case(3), lesson="still open on a screen"), removed.revision + 2).revision
    assert book.count() == 3
    assert not book.check()


def test_a_stopped_import_leaves_nothing(book: Book) -> None:
    seen: list[tuple[int, int]] = []

    def progress(done: int, of: int) -> None:
        seen.append((done, of))

    with pytest.raises(Cancelled):
        book.add_many(generated_cases(450), origin="own", progress=progress, cancel=lambda: len(seen) >= 2)
    assert seen == [(0, 450), (200, 450)]
    assert book.count() == 0
    with book._database.read() as connection:
        for table in (tables.revision, tables.staged, tables.batch, *tables.LINE_TABLES):
            assert connection.execute(table.select()).first() is None
    assert not book.check()


def test_what_a_crashed_import_left_is_swept_a_day_later(book: Book, location: str) -> None:
    _crash_while_staging(location)
    assert not book.check()
    book.add_many([case(1)], origin="own")
    with book._database.read() as connection:
        assert connection.execute(tables.staged.select()).first() is not None
    with book._database.write() as connection:
        connection.execute(tables.batch.update().where(tables.batch.c.first_change.is_(None)).values(at=utc_ago(25)))
    book.add_many([case(2)], origin="own")
    with book._database.read() as connection:
        assert connection.execute(tables.staged.select()).first() is None
        assert len(connection.execute(tables.revision.select()).all()) == 2
    assert not book.check()


def _crash_while_staging(location: str) -> None:
    """Does what an import does before it publishes, and no more."""
    with open_book(location) as other:
        stamp = other._stamp("IK")
        with other._database.write() as connection:
            batch_id, known = batches._reserve(connection, [full_case(50).id], [], stamp, "")
        with other._database.stage() as connection:
            batches._stage(
                connection, [batches._prepare(batch_id, 0, known.ready(Incoming(full_case(50)), stamp), stamp)]
            )


def test_a_large_import_does_not_keep_saves_waiting(book: Book, location: str) -> None:
    many = list(generated_cases(2000))
    longest, stop = [0.0], threading.Event()

    def keep_saving() -> None:
        with open_book(location) as other:
            saved = other.save(case(1), None)
            while not stop.is_set():
                began = time.perf_counter()
                saved = other.save(changed(saved.case, lesson=str(began)), saved.revision)
                longest[0] = max(longest[0], time.perf_counter() - began)
                time.sleep(0.02)

    thread = threading.Thread(target=keep_saving)
    thread.start()
    try:
        batch = book.add_many(many, origin="outside")
    finally:
        stop.set()
        thread.join()
    assert longest[0] < 2
    assert batch.count == 2000
    feed = book.changes_since(0, limit=10_000)
    assert [item.number for item in feed] == list(range(1, book.last_change() + 1))
    assert book.undo_batch(batch.id).removed == batch.cases


class _Told(ManyIncoming):
    """Counts how often it is asked and how many cases are alive at once."""

    def __init__(self, count: int) -> None:
        self.count, self.asked = count, 0

    def each(self) -> Iterator[Incoming]:
        self.asked += 1
        for n in range(self.count):
            yield Incoming(case(n))


def test_cases_too_many_to_hold_are_asked_for_twice(book: Book) -> None:
    told = _Told(450)
    added = book.add_many(told, origin="outside")
    assert (added.count, book.count(), told.asked) == (450, 450, 2)
    with pytest.raises(InputError, match="batch_empty"):
        book.add_many(_Told(0), origin="outside")
