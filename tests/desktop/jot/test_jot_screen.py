"""A jot by keyboard alone: recorded, found, kept as a draft, offered after a crash."""

import time
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kbapp.app.session import Session
from kbapp.desktop.jot.lines import PREFIX, JotText
from kbapp.desktop.widgets.buttons import Button
from tests.desktop.conftest import Start
from tests.desktop.running import Running

Enter = Qt.Key.Key_Return
Ctrl = Qt.KeyboardModifier.ControlModifier
LINES = (
    "Whistle from the left mirror above 90",
    "Kestrow Marrick K20D 2021 61 200 km",
    "door seal, no change",
    "gone with tape over the mirror gap",
    "mirror cover clipped home",
)


@pytest.fixture
def running(start: Start, practice: Path) -> Running:
    made = start()
    made.activate()
    made.press(Qt.Key.Key_J, Ctrl)
    return made


def _drafts() -> list[JotText]:
    session = Session.open("practice", follow=False)
    try:
        return [JotText.from_draft(d.text) for d in session.drafts().all() if d.key.startswith(PREFIX)]
    finally:
        session.close()


def _note(running: Running) -> str:
    note = running.jot.notes.note
    return note.text() if note is not None else ""


def test_five_lines_by_keyboard_are_recorded_and_found_at_once(running: Running) -> None:
    begun = time.monotonic()
    for n, line in enumerate(LINES):
        running.type(line)
        if n < len(LINES) - 1:
            running.press(Enter)
    running.press(Enter, Ctrl)
    running.until(lambda: "Recorded as" in _note(running), "the note says where it stands")
    assert time.monotonic() - begun < 60
    assert running.jot.head.kept.text().startswith("Recorded ")
    assert running.jot.form.text().blank
    assert QApplication.focusWidget() is running.jot.form.edits["concern"]
    show = next(button for button in running.jot.notes.findChildren(Button) if button.isVisible())
    show.click()
    running.rest()
    assert running.window.current == "look"
    hit = running.look.results.current
    assert hit is not None
    assert hit.concern == LINES[0]
    assert running.look.reading.view is not None
    case = running.look.reading.view.case
    assert case.vehicle is not None
    assert (case.vehicle.make, case.vehicle.family, case.vehicle.model_year) == ("Kestrow", "Marrick", 2021)
    assert case.state == "repaired"
    assert _drafts() == []


def test_a_search_that_is_open_finds_the_jot_by_itself(running: Running) -> None:
    running.window.go("look")
    running.ask("whistle mirror")
    assert all(row.hit.concern != LINES[0] for row in running.look.results.model.rows)
    running.window.go("jot")
    running.type(LINES[0])
    running.press(Enter, Ctrl)
    running.until(lambda: any(row.hit.concern == LINES[0] for row in running.look.results.model.rows), "found")


def test_a_blank_first_line_is_told_and_nothing_recorded(running: Running) -> None:
    before = running.program.book.cases
    running.press(Enter)
    running.type("Kestrow Marrick")
    running.press(Enter, Ctrl)
    running.rest()
    assert "first line" in _note(running)
    assert running.program.book.cases == before
    assert QApplication.focusWidget() is running.jot.form.edits["concern"]
    assert running.jot.form.text().vehicle == "Kestrow Marrick"


def test_running_text_is_kept_within_a_second(running: Running) -> None:
    running.type("Whistle from")
    begun = time.monotonic()
    running.until(lambda: running.jot.head.kept.text().startswith("Draft kept "), "kept")
    assert time.monotonic() - begun < 1.0
    assert _drafts() == [JotText(concern="Whistle from")]


def test_a_draft_of_a_program_that_died_is_offered_and_taken_up(start: Start, practice: Path) -> None:
    session = Session.open("practice", follow=False)
    session.drafts().keep(PREFIX + "died", JotText(LINES[0], LINES[1]).to_draft())
    session.close()
    running = start()
    running.activate()
    running.press(Qt.Key.Key_J, Ctrl)
    running.until(lambda: "never recorded" in _note(running), "offered")
    assert LINES[0] in _note(running)
    take = next(b for b in running.jot.notes.findChildren(Button) if b.text() == "Go on with it")
    take.click()
    assert running.jot.form.text() == JotText(LINES[0], LINES[1])
    running.press(Enter, Ctrl)
    running.until(lambda: "Recorded as" in _note(running), "recorded")
    running.rest()
    assert _drafts() == []


def test_a_draft_can_be_thrown_away(start: Start, practice: Path) -> None:
    session = Session.open("practice", follow=False)
    session.drafts().keep(PREFIX + "one", JotText("first").to_draft())
    session.drafts().keep(PREFIX + "two", JotText("second").to_draft())
    session.close()
    running = start()
    running.window.go("jot")
    for _turn in range(2):
        running.until(lambda: "never recorded" in _note(running), "offered")
        buttons = running.jot.notes.findChildren(Button)
        next(b for b in buttons if b.isVisible() and b.text() == "Throw it away").click()
    running.rest()
    assert _note(running) == ""
    assert _drafts() == []


def test_closing_the_window_keeps_what_is_written(running: Running) -> None:
    running.type("Half a sentence")
    running.window.close()
    running.program.close()
    assert _drafts() == [JotText(concern="Half a sentence")]


def test_two_windows_keep_two_drafts_and_offer_neither_to_the_other(running: Running) -> None:
    running.type("in the first window")
    other = running.program.new_window()
    other.go("jot")
    page = other.screen_of("jot")
    page.first().setFocus()
    QTest.keyClicks(page.first(), "in the second window")
    running.until(lambda: len(_drafts()) == 2, "both are kept")
    running.rest()
    assert page.notes.note is None
    assert {draft.concern for draft in _drafts()} == {"in the first window", "in the second window"}


def test_cases_like_this_one_stand_beside(running: Running) -> None:
    running.type("temperature climbs in traffic, two thermostats changed nothing")
    running.until(lambda: bool(running.jot.kin_model.rows), "shown")
    assert "2025-0067" in [row.hit.number for row in running.jot.kin_model.rows]


def test_shift_enter_breaks_a_line_and_the_field_grows(running: Running) -> None:
    edit = running.jot.form.edits["concern"]
    before = edit.height()
    running.type("first")
    running.press(Enter, Qt.KeyboardModifier.ShiftModifier)
    running.type("second")
    assert edit.toPlainText() == "first\nsecond"
    assert edit.height() == before + running.program.theme.look.metrics.pitch
