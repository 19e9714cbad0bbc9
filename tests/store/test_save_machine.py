"""A random life of a book: two people save, import, undo, accept and erase; a simple model says what must hold."""

import shutil
import tempfile
from pathlib import Path
from typing import ClassVar

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from kbapp.errors import InputError
from kbapp.records.case import Case
from kbapp.records.private import PrivateDetails
from kbapp.store.book import Book, open_book
from kbapp.store.values import Saved, StaleSave
from tests.store.sample import case, case_id, changed

FIELDS = ("lesson", "notes", "withdrawn_reason")
TEXTS = st.sampled_from(["", "one", "two", "three"])


class Life(RuleBasedStateMachine):
    """Plays on a copy of ``ready``, an empty book."""

    ready: ClassVar[Path]
    versions = Bundle("versions")
    batches = Bundle("batches")

    @initialize()
    def open(self) -> None:
        self.home = Path(tempfile.mkdtemp())
        self.books = [open_book(shutil.copytree(self.ready, self.home / "book"), author="IK")]
        self.books.append(open_book(self.home / "book", author="RA"))
        self.heads: dict[str, Case] = {}
        self.acknowledged: dict[int, Case] = {}
        self.private: dict[str, PrivateDetails] = {}
        self.undone: set[str] = set()
        self.changes = 0
        self.next = 0

    def teardown(self) -> None:
        assert self.books[0].check() == ()
        for number, document in self.acknowledged.items():
            assert self.books[1].revision(document.id, number).case == document
        for book in self.books:
            book.close()
        shutil.rmtree(self.home)

    def took(self, saved: Saved) -> Saved:
        if saved.change > self.changes:
            assert saved.change == self.changes + 1
            self.changes = saved.change
        self.heads[saved.case.id] = saved.case
        self.acknowledged[saved.revision] = saved.case
        return saved

    @rule(target=versions, who=st.integers(0, 1), text=TEXTS)
    def make(self, who: int, text: str) -> Saved:
        return self.saved_new(who, text)

    def saved_new(self, who: int, text: str) -> Saved:
        self.next += 1
        return self.took(self.books[who].save(case(self.next, lesson=text), None))

    @rule(target=versions, who=st.integers(0, 1), base=versions, field=st.sampled_from(FIELDS), text=TEXTS)
    def change(self, who: int, base: Saved, field: str, text: str) -> Saved:
        mine = changed(base.case, **{field: text})
        head = self.heads.get(mine.id)
        before, ours, theirs = (one.plain().get(field) if one else None for one in (base.case, mine, head))
        if head is not None and before != ours != theirs != before:  # only what both changed in two ways may clash
            with pytest.raises(StaleSave) as stale:
                self.books[who].save(mine, base.revision)
            assert stale.value.theirs == head
            return base
        saved = self.books[who].save(mine, base.revision)
        assert saved.case.plain().get(field, "") == text or mine.plain().get(field) == base.case.plain().get(field)
        return self.took(saved)

    @rule(target=versions, who=st.integers(0, 1), base=versions)
    def add_a_line(self, who: int, base: Saved) -> Saved:
        self.next += 1
        line = {"id": f"n{self.next}", "kind": "note", "text": "seen"}
        lines = [*base.case.plain().get("timeline", []), line]
        saved = self.took(self.books[who].save(changed(base.case, timeline=lines), base.revision))
        assert line["id"] in {entry.id for entry in saved.case.timeline}
        return saved

    @rule(target=batches, who=st.integers(0, 1), count=st.integers(1, 3))
    def bring(self, who: int, count: int) -> str:
        new = [case(self.next + n + 1, lesson="brought") for n in range(count)]
        self.next += count
        batch = self.books[who].add_many(new, origin="outside")
        assert (batch.first_change, batch.count) == (self.changes + 1, count)
        self.changes += count
        self.heads |= {stored.case.id: stored.case for stored in self.books[who].cases(batch.cases)}
        return batch.id

    @rule(target=versions, who=st.integers(0, 1), n=st.integers(1, 12))
    def look(self, who: int, n: int) -> Saved:
        if case_id(n) not in self.heads:
            with pytest.raises(InputError) as unknown:
                self.books[who].case(case_id(n))
            assert unknown.value.code in ("case_unknown", "case_removed")
            return self.saved_new(who, "")
        stored = self.books[who].case(case_id(n))
        assert stored.case == self.heads[case_id(n)]
        return Saved(stored.revision, stored.change, stored.case)

    @rule(who=st.integers(0, 1), batch=batches)
    def undo(self, who: int, batch: str) -> None:
        if batch in self.undone:
            with pytest.raises(InputError) as refused:
                self.books[who].undo_batch(batch)
            assert refused.value.code == "batch_undone"
            return
        self.undone.add(batch)
        undone = self.books[who].undo_batch(batch)
        assert {*undone.removed, *undone.kept} == set(self.books[who].batch(batch).cases)
        for one in undone.removed:
            del self.heads[one]
            self.private.pop(one, None)
        self.changes += len(undone.removed)

    @precondition(lambda self: self.heads)
    @rule(who=st.integers(0, 1), data=st.data(), erase=st.booleans())
    def tell(self, who: int, data: st.DataObject, erase: bool) -> None:
        one = data.draw(st.sampled_from(sorted(self.heads)))
        self.private[one] = PrivateDetails() if erase else PrivateDetails(plate=f"P {self.changes}")
        book = self.books[who]
        number = book.erase_private(one) if erase else book.set_private(one, self.private[one])
        self.changes += 1
        assert number == self.changes

    @invariant()
    def both_see_the_same(self) -> None:
        for book in getattr(self, "books", ()):
            self._agrees(book)

    def _agrees(self, book: Book) -> None:
        assert book.last_change() == self.changes
        assert {row.id for row in book.list_cases()} == set(self.heads)
        assert {stored.case.id: stored.case for stored in book.cases(list(self.heads))} == self.heads
        assert [item.number for item in book.changes_since(0)] == list(range(1, self.changes + 1))
        documents = book.documents_changed_since(0)
        assert {item.case_id: item.case for item in documents if item.case} == self.heads
        assert max((item.change for item in documents), default=0) == self.changes
        for one, details in self.private.items():
            assert book.private(one) == details


@pytest.mark.timeout(300)
def test_the_book_keeps_what_a_simple_model_keeps(ready_folder: Path) -> None:
    class LifeOfACopy(Life):
        ready = ready_folder

    run_state_machine_as_test(
        LifeOfACopy,
        settings=settings(
            max_examples=12, stateful_step_count=20, deadline=None, suppress_health_check=list(HealthCheck)
        ),
    )
