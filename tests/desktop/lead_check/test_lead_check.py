"""A repair from the queue to its proof and beyond, in a real window on a real book."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from kbapp.app.session import Session
from kbapp.desktop.lead_check.history_page import HistoryPage
from kbapp.desktop.lead_check.panels import ComebackPanel, CorrectPanel, FollowUpPanel, PeoplePanel, ReasonPanel
from kbapp.desktop.lead_check.retest_page import RetestPage
from kbapp.desktop.lead_check.screen import LeadCheckScreen
from kbapp.desktop.reading.compare import Compare
from kbapp.records.case import Case
from tests.app.proof_cases import BASELINE, PUMP, book_with, repaired
from tests.desktop.conftest import Start
from tests.desktop.running import Running

CASE = repaired(retest=[], number="P-1")
WHY = "The lead read the wrong line of the sheet."


class Lead:
    """Lead Check in a running program, with the book behind it looked at through a session of its own."""

    def __init__(self, running: Running, other: Session) -> None:
        self.running, self.other = running, other
        running.rest()

    @property
    def screen(self) -> LeadCheckScreen:
        return self.running.screen(LeadCheckScreen, "lead")

    def case(self, case: Case) -> Case:
        self.running.rest()
        return self.other.case(case.id).case

    def press(self, button: QPushButton) -> None:
        assert button.isVisible()
        assert button.isEnabled()
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        self.running.rest()

    def more(self, words: str) -> None:
        """Presses a button of the row below the head."""
        found = [b for b in self.screen.more.findChildren(QPushButton) if b.text() == words and b.isVisible()]
        self.press(found[0])

    def says(self) -> str:
        note = self.screen.notes.note
        return note.text() if note is not None else ""


@pytest.fixture
def lead(start: Start, tmp_path: Path) -> Lead:
    return _open(start, tmp_path, CASE)


def _open(start: Start, tmp_path: Path, *cases: Case, people: dict[str, str] | None = None) -> Lead:
    folder = book_with(tmp_path / "book", *cases, people=people)
    running = start(str(folder), screen="lead")
    other = Session.open(str(folder), author="RA", follow=False)
    _OPEN.append(other)
    return Lead(running, other)


_OPEN: list[Session] = []


@pytest.fixture(autouse=True)
def _close_sessions() -> Iterator[None]:
    yield
    while _OPEN:
        _OPEN.pop().close()


def test_repaired_sent_back_retested_proved(lead: Lead) -> None:
    screen = lead.screen
    (line,) = screen.queue_model.rows
    assert "No retest" in line.lacks
    assert screen.sign_bar.by.value() == "MH"
    assert not screen.sign_bar.prove_button.isEnabled()
    assert screen.sign_bar.why.text() == "No retest"
    lead.press(screen.sign_bar.back_button)
    panel = screen.right.currentWidget()
    assert isinstance(panel, ReasonPanel)
    QTest.keyClicks(panel.words, "no")
    lead.press(panel.do_button)
    assert "10 characters" in lead.says()
    QTest.keyClicks(panel.words, "w, repeat the spread while it is warm")
    lead.press(panel.do_button)
    sign = lead.case(CASE).sign_off
    assert sign is not None
    assert (sign.result, sign.by) == ("sent_back", "MH")
    assert "Sent back: now, repeat the spread" in screen.queue_model.rows[0].lacks
    lead.more("Retest")
    page = lead.running.screen(RetestPage, "retest")
    assert lead.running.window.current == "retest"
    _type_retest(lead, page)
    retest = lead.case(CASE).retest[0]
    assert (retest.repeats, retest.result, retest.by) == ("e1", "passed", "IK")
    assert lead.running.window.current == "lead"
    assert screen.queue_model.rows[0].lacks == "Ready to sign"
    assert [row.kind for row in screen.page.compare.lines.rows] == ["head", "place", "place"]
    lead.press(screen.sign_bar.prove_button)
    proved = lead.case(CASE)
    assert (proved.state, proved.sign_off and proved.sign_off.own_work) == ("proved", False)
    assert [line.result for line in lead.other._book.sign_offs(CASE.id)] == ["proved", "sent_back"]
    assert screen.queue_model.rows == ()
    assert "Nothing waits" in (screen.queue_notes.note.text() if screen.queue_notes.note else "")


def _type_retest(lead: Lead, page: RetestPage) -> None:
    lead.running.rest()
    assert list(page.readings) == ["inlet", "outlet"]
    page.readings["inlet"].setFocus()
    QTest.keyClicks(page.readings["inlet"], "92 93")
    lead.press(page.record_button)
    assert "passed, failed or unclear" in (page.notes.note.text() if page.notes.note else "")
    QTest.keyClicks(page.readings["outlet"], "78 79")
    QTest.mouseClick(page.result.buttons["passed"], Qt.MouseButton.LeftButton)
    lead.running.until(lambda: page.compare.lines.rowCount() == 3, "before and after are shown")
    assert "before 41 43 °C, after 78 79 °C" in page.compare.lines.rows[2].spoken()
    lead.press(page.record_button)


def test_the_wrong_person_and_the_first_lead(start: Start, tmp_path: Path) -> None:
    case = repaired(number="P-2")
    lead = _open(start, tmp_path, case, people={})
    bar = lead.screen.sign_bar
    assert not bar.prove_button.isVisible()
    lead.press(bar.people_button)
    panel = lead.screen.right.currentWidget()
    assert isinstance(panel, PeoplePanel)
    panel.leads.setText("IK")
    panel.technicians.setText("MH")
    lead.press(panel.do_button)
    assert bar.by.value() == "IK"
    lead.press(bar.prove_button)
    assert "worked on this case (line 1, 2, 3)" in lead.says()
    assert lead.case(case).state == "repaired"
    lead.press(lead.screen.people_button)
    panel = lead.screen.right.currentWidget()
    assert isinstance(panel, PeoplePanel)
    panel.leads.setText("MH")
    panel.technicians.setText("IK")
    panel.by.setText("MH")
    lead.press(panel.do_button)
    assert "MH is no lead" in lead.says()
    panel.by.setText("IK")
    lead.press(panel.do_button)
    lead.press(bar.prove_button)
    assert lead.case(case).state == "proved"


_ANOTHER = """
import sys
from kbapp.store.book import open_book
with open_book(sys.argv[1], author="RA") as book:
    stored = book.case(sys.argv[2])
    book.save(stored.case.model_copy(update={"lesson": "Another word."}), stored.revision)
"""


def test_what_another_program_saved_is_seen_before_it_is_signed(start: Start, tmp_path: Path) -> None:
    case = repaired(number="P-3")
    lead = _open(start, tmp_path, case)
    lead.running.program.book._follow_timer.stop()
    command = [sys.executable, "-c", _ANOTHER, str(tmp_path / "book"), case.id]
    subprocess.run(command, check=True, capture_output=True)
    lead.screen.prove()
    lead.running.rest()
    assert "changed by RA" in lead.says()
    assert lead.case(case).state == "repaired"
    assert lead.screen._view is not None
    assert lead.screen._view.case.lesson == "Another word.", "the case is read again"
    lead.screen.prove()
    assert lead.case(case).state == "proved"


def _proved(start: Start, tmp_path: Path, *more: Case) -> tuple[Lead, Case]:
    case = repaired(number="P-4")
    lead = _open(start, tmp_path, case, *more)
    lead.screen.open_case(case.id)
    lead.running.rest()
    lead.press(lead.screen.sign_bar.prove_button)
    assert lead.case(case).state == "proved"
    return lead, case


def test_what_was_signed_is_corrected_with_a_reason(start: Start, tmp_path: Path) -> None:
    lead, case = _proved(start, tmp_path)
    lead.more("Correct")
    panel = lead.screen.right.currentWidget()
    assert isinstance(panel, CorrectPanel)
    panel.cause.setPlainText("Pump impeller cracked")
    panel.reason.setPlainText(WHY)
    lead.press(panel.do_button)
    now = lead.case(case)
    assert (now.state, now.sign_off, now.cause and now.cause.text) == ("repaired", None, "Pump impeller cracked")
    lead.more("History")
    history = lead.running.screen(HistoryPage, "history")
    lead.running.rest()
    assert [row.title for row in history._model.rows] == [WHY, "Signed as proved", "Recorded"]
    fields = {row.name: (row.before, row.after) for row in history.changed.lines.rows}
    assert fields["Cause, text"] == ("Water pump impeller slips on its shaft", "Pump impeller cracked")
    assert fields["State"] == ("proved", "repaired")
    history.versions.pick(2)
    assert not history.changed.isVisible()


def test_a_follow_up_then_a_comeback(start: Start, tmp_path: Path) -> None:
    lead, case = _proved(start, tmp_path)
    lead.more("Follow-up")
    asked = lead.screen.right.currentWidget()
    assert isinstance(asked, FollowUpPanel)
    asked.words.setPlainText("holds well")
    lead.press(asked.do_button)
    first = lead.case(case).follow_ups[0]
    assert (first.result, first.text) == ("good", "holds well")
    lead.more("Came back")
    panel = lead.screen.right.currentWidget()
    assert isinstance(panel, ComebackPanel)
    panel.odometer.setText("190 500 km")
    lead.press(panel.do_button)
    old = lead.case(case)
    new = lead.other.case(old.links[0].case).case
    assert (old.state, new.state, new.links[0].case) == ("came_back", "open", case.id)
    assert new.vehicle is not None
    assert new.vehicle.odometer is not None
    assert new.vehicle.odometer.value == 190500


def test_withdrawn_and_joined(start: Start, tmp_path: Path) -> None:
    twin = repaired(number="P-9", timeline=[BASELINE, PUMP])
    lead, case = _proved(start, tmp_path, twin)
    kin = lead.screen.page.kin.lines.rows
    assert kin[0].key == twin.id
    lead.screen.page.kin.opened.emit(0)
    lead.running.rest()
    assert isinstance(lead.running.window.screen_of("compare"), Compare)
    assert lead.running.window.current == "compare"
    lead.running.window.go("lead", case.id)
    lead.running.rest()
    lead.more("Same job")
    panel = lead.screen.right.currentWidget()
    assert isinstance(panel, ReasonPanel)
    panel.words.setPlainText("P-9")
    lead.press(panel.do_button)
    assert [link.case for link in lead.case(twin).links] == [case.id]
    assert twin.id not in [row.key for row in lead.screen.page.kin.lines.rows], "tied cases are no duplicates"
    lead.more("Withdraw")
    panel = lead.screen.right.currentWidget()
    assert isinstance(panel, ReasonPanel)
    lead.running.activate()
    lead.running.press(Qt.Key.Key_Escape)
    assert lead.screen.right.currentIndex() == 0
    lead.more("Withdraw")
    panel = lead.screen.right.currentWidget()
    assert isinstance(panel, ReasonPanel)
    panel.words.setPlainText(WHY)
    lead.press(panel.do_button)
    assert lead.case(case).state == "withdrawn"


def test_search_words_are_taken_over_by_a_press(start: Start, tmp_path: Path) -> None:
    case = repaired(number="P-5", concern={"text": "engine overheats in traffic", "system": "hvac_cooling"})
    lead = _open(start, tmp_path, case)
    words = lead.screen.page.words.findChildren(QPushButton)
    lead.press(next(button for button in words if button.text() == "overheats in traffic"))
    assert "overheats in traffic" in lead.case(case).concern.symptoms


def test_several_changes_are_flagged_or_said_to_be_one_job(start: Start, tmp_path: Path) -> None:
    service = {"id": "e3", "kind": "service", "text": "coolant changed", "by": "IK"}
    case = repaired(number="P-6", retest=[], timeline=[BASELINE, PUMP, service])
    lead = _open(start, tmp_path, case)
    lead.more("Retest")
    page = lead.running.screen(RetestPage, "retest")
    lead.running.rest()
    page.readings["inlet"].setText("92 93")
    page.readings["outlet"].setText("78 79")
    page.result.buttons["passed"].click()
    lead.running.until(lambda: page.job.isVisible(), "the changes are named")
    assert "Water pump (line 2), Coolant changed (line 3)" in page.job.said()
    assert any("cannot be told" in row.words for row in page.compare.lines.rows)
    page.one_job.click()
    lead.running.until(lambda: any("one job" in row.words for row in page.compare.lines.rows), "said to be one job")
    page.one_job.click()
    lead.press(page.record_button)
    cause = lead.case(case).cause
    assert cause is not None
    assert not cause.separated


def test_the_keyboard_alone_signs(start: Start, tmp_path: Path) -> None:
    case = repaired(number="P-7")
    lead = _open(start, tmp_path, case)
    lead.running.activate()
    lead.screen.queue.setFocus()
    lead.running.press(Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
    assert lead.case(case).state == "proved"


def test_a_narrow_window_shows_queue_or_case(start: Start, tmp_path: Path) -> None:
    case = repaired(number="P-8")
    lead = _open(start, tmp_path, case)
    lead.running.window.resize(760, 700)
    lead.running.rest()
    screen = lead.screen
    assert screen.left_pane.isVisible()
    assert not screen.right.isVisible()
    screen.queue.opened.emit(0)
    assert screen.right.isVisible()
    assert not screen.left_pane.isVisible()
    assert screen.leave()
    assert screen.left_pane.isVisible()
