"""Saving: revisions, numbers, merges, refusals; the change feed is their order."""

import pytest
from sqlalchemy import select

from kbapp.errors import InputError
from kbapp.records.case import Case
from kbapp.records.case_document import canonical, digest
from kbapp.records.fault import DocumentFaults
from kbapp.store import tables
from kbapp.store.book import Book, open_book
from kbapp.store.values import Incoming, StaleSave
from tests.store.sample import case, case_id, changed, full_case


def test_a_new_case_gets_a_number_of_its_year(book: Book) -> None:
    first = book.save(case(1, opened="2024-03"), None)
    second = book.save(case(2, opened="2024-12-31"), None)
    other = book.save(case(3, opened="2019-01-01"), None)
    assert [one.case.number for one in (first, second, other)] == ["2024-0001", "2024-0002", "2019-0001"]
    assert book.case("2024-0002").case == second.case
    assert [one.change for one in (first, second, other)] == [1, 2, 3]


def test_numbers_skip_those_that_are_taken(book: Book) -> None:
    book.save(case(1, number="2024-0001"), None)
    book.add_many([case(2, number="2024-0003")], origin="outside")
    numbers = [book.save(case(n, opened="2024-01"), None).case.number for n in (3, 4)]
    assert numbers == ["2024-0002", "2024-0004"]


def test_a_number_of_this_shop_stands_once(book: Book) -> None:
    book.save(case(1, number="A-1"), None)
    with pytest.raises(InputError) as refused:
        book.save(case(2, number="A-1"), None)
    assert refused.value.code == "number_taken"
    second = book.save(case(2, number="A-2"), None)
    with pytest.raises(InputError):
        book.save(changed(second.case, number="A-1"), second.revision)
    assert book.last_change() == 2


def test_each_revision_is_kept_whole_with_its_digest(book: Book) -> None:
    first = book.save(full_case(), None, "RA", "as told on the phone")
    second = book.save(changed(first.case, lesson="other"), first.revision, "DS")
    newest, oldest = book.revisions(first.case.id)
    assert (newest.author, newest.based_on, newest.digest) == ("DS", first.revision, digest(second.case))
    assert (oldest.author, oldest.based_on, oldest.reason) == ("RA", None, "as told on the phone")
    assert oldest.saved_at <= newest.saved_at
    assert oldest.saved_at.endswith("Z")
    assert book.revision(first.case.id, first.revision).case == first.case
    with book._database.read() as connection:
        documents = (
            connection.execute(select(tables.revision.c.document).order_by(tables.revision.c.id)).scalars().all()
        )
    assert documents == [canonical(first.case).decode(), canonical(second.case).decode()]


def test_saving_what_the_book_holds_changes_nothing(book: Book) -> None:
    first = book.save(case(1), None)
    again = book.save(first.case, first.revision)
    without_number = book.save(case(1), None)
    assert (again, without_number) == (first, first)
    assert book.last_change() == 1


def test_an_empty_number_keeps_the_number(book: Book) -> None:
    first = book.save(case(1), None)
    second = book.save(changed(case(1), lesson="x"), first.revision)
    assert second.case.number == first.case.number


def test_a_known_id_is_no_new_case(book: Book) -> None:
    book.save(case(1), None)
    with pytest.raises(InputError) as refused:
        book.save(case(1, lesson="other"), None)
    assert refused.value.code == "case_exists"


def test_a_case_of_another_book_is_refused(book: Book) -> None:
    with pytest.raises(InputError) as refused:
        book.save(case(1), 1)
    assert refused.value.code == "case_unknown"


def test_a_revision_of_another_case_is_refused(book: Book) -> None:
    first, other = book.save(case(1), None), book.save(case(2), None)
    book.save(changed(first.case, lesson="a"), first.revision)
    with pytest.raises(InputError) as refused:
        book.save(changed(first.case, lesson="b"), other.revision)
    assert refused.value.code == "revision_unknown"


def test_two_people_adding_lines_merge(book: Book) -> None:
    base = book.save(case(1), None)
    note = {"kind": "note", "text": "mine"}
    theirs = book.save(changed(base.case, timeline=[{"id": "t1", "kind": "note", "text": "theirs"}]), base.revision)
    mine = book.save(changed(base.case, timeline=[{"id": "m1", **note}], lesson="look first"), base.revision)
    assert mine.merged
    assert {entry.id for entry in mine.case.timeline} == {"t1", "m1"}
    assert mine.case.lesson == "look first"
    assert book.revisions(base.case.id)[0].based_on == theirs.revision
    assert not book.check()


def test_a_merge_that_adds_nothing_changes_nothing(book: Book) -> None:
    base = book.save(case(1), None)
    theirs = book.save(changed(base.case, lesson="a", notes="b"), base.revision)
    mine = book.save(changed(base.case, lesson="a"), base.revision)
    assert mine.merged
    assert (mine.revision, mine.change, mine.case) == (theirs.revision, theirs.change, theirs.case)
    assert book.last_change() == 2


def test_the_same_field_changed_twice_is_refused_with_both_versions(book: Book) -> None:
    base = book.save(case(1, lesson="old"), None)
    theirs = book.save(changed(base.case, lesson="theirs"), base.revision)
    mine = changed(base.case, lesson="mine", notes="kept apart")
    with pytest.raises(StaleSave) as stale:
        book.save(mine, base.revision)
    assert (stale.value.base, stale.value.mine, stale.value.theirs) == (base.case, mine, theirs.case)
    assert stale.value.head == theirs.revision
    assert [(one.path, one.base, one.mine, one.theirs) for one in stale.value.conflicts] == [
        ("lesson", "old", "mine", "theirs")
    ]
    assert book.last_change() == 2
    assert book.case(base.case.id).case == theirs.case


def test_a_case_that_contradicts_itself_is_refused(book: Book) -> None:
    whole = full_case()
    broken = whole.model_copy(update={"timeline": (*whole.timeline, whole.timeline[0])})
    with pytest.raises(DocumentFaults):
        book.save(broken, None)
    with pytest.raises(DocumentFaults):
        book.add_many([case(1), broken], origin="own")
    assert book.last_change() == 0


def test_a_case_is_found_by_id_number_and_beginning(book: Book) -> None:
    saved = book.save(case(1, number="W-17"), None)
    for reference in (saved.case.id, saved.case.id.upper(), " W-17 ", saved.case.id[:13]):
        assert book.find_id(reference) == saved.case.id
    for reference in (saved.case.id[:7], "W-1", "", "%", "________"):
        with pytest.raises(InputError) as unknown:
            book.case(reference)
        assert unknown.value.code == "case_unknown"


def test_a_beginning_of_several_ids_is_refused(book: Book) -> None:
    book.save(case(1), None)
    book.save(case(2), None)
    with pytest.raises(InputError) as refused:
        book.case(case_id(1)[:8])
    assert refused.value.code == "case_ambiguous"
    assert case_id(2) in str(refused.value.values["matches"])


def test_a_number_of_several_shops_means_our_case(book: Book) -> None:
    book.add_many([case(1, number="7"), case(2, number="7")], origin="outside")
    with pytest.raises(InputError) as refused:
        book.case("7")
    assert refused.value.code == "case_ambiguous"
    book.save(case(3, number="7"), None)
    assert book.find_id("7") == case_id(3)


def test_what_is_written_is_signed_by_the_author_of_the_book(book: Book) -> None:
    assert book.case(book.save(case(1), None).case.id).author == "IK"
    assert book.case(book.save(case(2), None, "R\u202eA\n").case.id).author == "RA"


def test_two_open_books_see_each_other(book: Book, location: str) -> None:
    with open_book(location) as other:
        saved = other.save(case(1), None)
        assert book.case(saved.case.id).case == saved.case
        mine = book.save(changed(saved.case, lesson="x"), saved.revision)
        assert other.case(saved.case.id).revision == mine.revision


def test_the_feed_tells_every_change_in_order(book: Book) -> None:
    one = book.save(case(1), None)
    book.save(case(2), None)
    book.save(changed(one.case, lesson="x"), one.revision)
    feed = book.changes_since(0)
    assert [(item.number, item.case_id, item.kind) for item in feed] == [
        (1, case_id(1), "saved"), (2, case_id(2), "saved"), (3, case_id(1), "saved"),
    ]  # fmt: skip
    assert [item.number for item in book.changes_since(1, limit=1)] == [2]
    assert book.changes_since(3) == ()


def test_followers_get_each_touched_case_once_and_as_it_is_now(book: Book) -> None:
    one = book.save(case(1), None)
    book.save(case(2), None)
    now = book.save(changed(one.case, lesson="x"), one.revision)
    documents = book.documents_changed_since(0)
    assert [(item.change, item.case_id) for item in documents] == [(2, case_id(2)), (3, case_id(1))]
    assert documents[1].case == now.case
    assert book.documents_changed_since(0, limit=1) == documents[:1]
    assert book.documents_changed_since(2) == documents[1:]


def test_our_own_proved_cases_count_as_signed_here(book: Book) -> None:
    saved = book.save(full_case(), None)
    assert book.case(saved.case.id).signed_here
    book.save(changed(saved.case, state="came_back"), saved.revision)
    assert not book.case(saved.case.id).signed_here


def _outside(book: Book) -> Case:
    book.add_many([Incoming(full_case())], origin="outside")
    return full_case()


def test_a_case_from_outside_is_signed_elsewhere_until_the_lead_accepts(book: Book) -> None:
    theirs = _outside(book)
    assert not book.case(theirs.id).signed_here
    change = book.accept_signature(theirs.id, "MH")
    stored = book.case(theirs.id)
    assert stored.signed_here
    assert stored.change == change == 2
    assert book.changes_since(1)[0].kind == "accepted"
    assert book.changes_since(1)[0].author == "MH"
    assert book.documents_changed_since(1)[0].signed_here
    assert book.accept_signature(theirs.id, "MH") == change
    assert not book.check()


def test_only_a_proved_case_has_a_signature_to_accept(book: Book) -> None:
    book.add_many([case(1)], origin="outside")
    with pytest.raises(InputError) as refused:
        book.accept_signature(case_id(1), "MH")
    assert refused.value.code == "not_proved"
    with pytest.raises(InputError) as unknown:
        book.accept_signature(case_id(2), "MH")
    assert unknown.value.code == "case_unknown"


def test_editing_does_not_sign_but_signing_here_does(book: Book) -> None:
    theirs = _outside(book)
    edited = book.save(changed(theirs, notes="read it"), book.case(theirs.id).revision)
    assert not book.case(theirs.id).signed_here
    book.save(changed(edited.case, sign_off={"by": "MH", "at": "2026-08-01"}), edited.revision)
    assert book.case(theirs.id).signed_here


def test_an_accepted_case_stays_signed_through_corrections(book: Book) -> None:
    theirs = _outside(book)
    book.accept_signature(theirs.id, "MH")
    book.save(changed(theirs, notes="typing slip"), book.case(theirs.id).revision)
    assert book.case(theirs.id).signed_here
