from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from kbapp.app.jot import Jot
from kbapp.app.session import Session
from kbapp.app.working import CaseWork
from kbapp.errors import InputError
from kbapp.records.case import Case
from kbapp.records.fault import DocumentFaults
from kbapp.records.timeline import NoteEntry, TestEntry
from tests.practice import OpenSession


def _note(work: CaseWork, text: str) -> NoteEntry:
    return NoteEntry(id=work.next_id(), kind="note", text=text)


@pytest.fixture
def work(open_session: OpenSession, tmp_path: Path) -> CaseWork:
    session = open_session(str(tmp_path / "home" / "data" / "book"), follow=False)
    return CaseWork(session, session.jot(Jot("whines")).cases[0])


def test_every_step_is_saved_at_once(work: CaseWork) -> None:
    work.add(_note(work, "one"), NoteEntry(id="n2", kind="note", text="two"))
    work.replace(NoteEntry(id="e1", kind="note", text="ONE"))
    work.remove("n2")
    assert [(entry.id, entry.text) for entry in work.case.timeline] == [("e1", "ONE")]
    assert work.view.revision > 1


def test_a_line_that_another_refers_to_stays(work: CaseWork) -> None:
    work.add(
        TestEntry(id="e1", kind="test", test="smoke"), TestEntry(id="e2", kind="test", test="smoke", repeat_of="e1")
    )
    with pytest.raises(DocumentFaults):
        work.remove("e1")
    assert len(work.case.timeline) == 2


def test_undo_keeps_what_others_added(work: CaseWork) -> None:
    other = CaseWork(work._session, work.case.id)
    work.add(_note(work, "mine"))
    other.refresh()
    other.add(NoteEntry(id="o1", kind="note", text="theirs"))
    work.undo()
    assert [entry.text for entry in work.case.timeline] == ["theirs"]
    work.redo()
    assert sorted(entry.text for entry in work.case.timeline) == ["mine", "theirs"]


def test_undo_that_would_overwrite_someone_is_refused(work: CaseWork) -> None:
    work.change(work.case.model_copy(update={"lesson": "mine"}))
    other = CaseWork(work._session, work.case.id)
    other.change(other.case.model_copy(update={"lesson": "theirs"}))
    with pytest.raises(InputError) as refused:
        work.undo()
    assert refused.value.code == "undo_clash"
    assert work.refresh().case.lesson == "theirs"


@pytest.mark.parametrize("code", ["nothing_to_undo", "nothing_to_redo"])
def test_nothing_to_take_back_is_said(work: CaseWork, code: str) -> None:
    with pytest.raises(InputError) as refused:
        work.undo() if code == "nothing_to_undo" else work.redo()
    assert refused.value.code == code


def test_an_unknown_line_is_said(work: CaseWork) -> None:
    with pytest.raises(InputError, match="line_unknown"):
        work.remove("e9")
    with pytest.raises(InputError, match="line_unknown"):
        work.replace(NoteEntry(id="e9", kind="note"))


def test_undo_and_redo_walk_a_history_like_a_list(open_session: OpenSession, tmp_path: Path) -> None:
    session = open_session(str(tmp_path / "home" / "data" / "book"), follow=False)

    class Machine(RuleBasedStateMachine):
        def __init__(self) -> None:
            super().__init__()
            self.session: Session = session
            self.work = CaseWork(session, session.jot(Jot("whines")).cases[0])
            self.past: list[Case] = [self.work.case]
            self.at = 0

        def _did(self) -> None:
            self.past = [*self.past[: self.at + 1], self.work.case]
            self.at += 1

        @rule(text=st.text("abc", min_size=1, max_size=5))
        def write_lesson(self, text: str) -> None:
            if text != self.work.case.lesson:
                self.work.change(self.work.case.model_copy(update={"lesson": text}))
                self._did()

        @rule(text=st.text("xyz", min_size=1, max_size=5))
        def add_line(self, text: str) -> None:
            self.work.add(_note(self.work, text))
            self._did()

        @precondition(lambda self: self.work.case.timeline)
        @rule()
        def remove_line(self) -> None:
            self.work.remove(self.work.case.timeline[0].id)
            self._did()

        @precondition(lambda self: self.at > 0)
        @rule()
        def undo(self) -> None:
            self.work.undo()
            self.at -= 1

        @precondition(lambda self: self.at + 1 < len(self.past))
        @rule()
        def redo(self) -> None:
            self.work.redo()
            self.at += 1

        @invariant()
        def stands_where_the_list_says(self) -> None:
            lines = {entry.id: entry for entry in self.work.case.timeline}
            wanted = self.past[self.at]
            assert lines == {entry.id: entry for entry in wanted.timeline}
            assert self.work.case.lesson == wanted.lesson
            assert self.work.can_undo == (self.at > 0)
            assert self.work.can_redo == (self.at + 1 < len(self.past))

    Machine.TestCase.settings = settings(
        max_examples=8, stateful_step_count=12, deadline=None, suppress_health_check=list(HealthCheck)
    )
    Machine.TestCase("runTest").runTest()
