"""Look First on the practice book, driven by keyboard and mouse."""

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kbapp.app.jot import Jot
from kbapp.app.places import places
from kbapp.app.session import Session
from kbapp.desktop.keys import key
from kbapp.desktop.look_first.conditions import Condition
from kbapp.desktop.widgets.buttons import Button
from kbapp.lookup.question import Evidence, Question
from kbapp.records.vocabulary import STATES
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP, Running

Enter, Down, Space, Escape = Qt.Key.Key_Return, Qt.Key.Key_Down, Qt.Key.Key_Space, Qt.Key.Key_Escape
Ctrl = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def running(start: Start, practice: Path) -> Running:
    made = start()
    made.activate()
    return made


def _numbers(running: Running) -> list[str]:
    return [row.hit.number for row in running.look.results.model.rows]


def test_the_empty_screen_gives_before_it_asks(running: Running) -> None:
    look = running.look
    assert len(_numbers(running)) == 12
    assert look.right.currentWidget() is look.guide
    assert look.narrow.values("state")["proved"].count > 50
    rect = look.guide.list.visualRect(look.guide.model.index(0, 0))
    QTest.mouseClick(look.guide.list.viewport(), Qt.MouseButton.LeftButton, pos=rect.center())
    running.rest()
    assert look.question.text() == look.guide.model.rows[0].key
    assert _numbers(running)


def test_answers_come_while_one_types(running: Running) -> None:
    look = running.look
    assert QApplication.focusWidget() is look.question.edit
    running.type("overheats in tra")
    running.qtbot.wait(200)
    running.rest()
    typed = _numbers(running)
    assert typed
    assert look.reading.view is not None
    running.type("ffic")
    running.press(Enter)
    running.rest()
    assert "2025-0067" in _numbers(running)
    assert look.right.currentWidget() is look.reading


def test_reading_shows_reasons_that_add_up_to_the_score(running: Running) -> None:
    running.ask("overheats in traffic two thermostats")
    look = running.look
    hit = look.results.current
    assert hit is not None
    rows = look.reading.why.lines.rows
    assert sum(row.value for row in rows) == pytest.approx(hit.score, abs=0.01)
    assert f"{hit.score:.2f}" in look.reading.why_head.accessibleName()
    assert len(rows) == len(hit.reasons)


def test_walking_through_the_list_by_keys_reads_each_case(running: Running) -> None:
    running.ask("overheats in traffic")
    look = running.look
    running.press(Down, Ctrl)
    running.rest()
    second = look.results.model.rows[1].hit.id
    assert look.reading.view is not None
    assert look.reading.view.case.id == second
    running.press(Qt.Key.Key_F6)
    running.press(Down)
    running.rest()
    assert look.reading.view.case.id == look.results.model.rows[2].hit.id


@pytest.mark.qt_log_ignore(*POPUP)
def test_a_condition_is_added_and_taken_away_by_keyboard(running: Running) -> None:
    running.ask("hot in traffic")
    look = running.look
    before = _numbers(running)
    running.press(Qt.Key.Key_K, Ctrl)
    assert QApplication.focusWidget() is look.question.panel.value
    look.question.panel.kind.setCurrentIndex(look.question.panel.kind.findData("part"))
    running.type("thermostat")
    running.press(Enter)
    running.rest()
    assert list(look.question.conditions.items) == [Condition("part", "thermostat")]
    reasons = {reason.name for row in look.results.model.rows for reason in row.hit.reasons}
    assert reasons & {"part_tried", "tried_was_cause"}
    running.press(Escape)
    assert not look.question.panel.isVisible()
    (chip,) = look.question.chips()
    chip.setFocus()
    running.press(Qt.Key.Key_Delete)
    running.rest()
    assert list(look.question.conditions.items) == []
    assert _numbers(running) == before


@pytest.mark.qt_log_ignore(*POPUP)
def test_a_test_needs_its_outcome_and_an_unknown_system_is_not_taken(running: Running) -> None:
    panel = running.look.question.panel
    running.look.question.open_panel()
    panel.kind.setCurrentIndex(panel.kind.findData("test"))
    running.type("radiator_spread")
    running.press(Enter)
    assert QApplication.focusWidget() is panel.outcome
    running.press(Enter)
    assert list(running.look.question.conditions.items) == []
    running.type("cold_outlet")
    running.press(Enter)
    running.rest()
    assert list(running.look.question.conditions.items) == [Condition("test", "radiator_spread", "cold_outlet")]
    panel.kind.setCurrentIndex(panel.kind.findData("system"))
    running.type("nonsense")
    running.press(Enter)
    assert len(running.look.question.conditions.items) == 1


def test_narrowing_keeps_zeros_in_sight_and_disabled(running: Running) -> None:
    running.ask("hot")
    look = running.look
    before = {value: row.count for value, row in look.narrow.values("state").items()}
    assert len(before) > 1
    rarest = min(before, key=lambda state: before[state])
    look.narrow.values("state")[rarest].setFocus()
    running.press(Space)
    running.rest()
    assert {row.hit.state for row in look.results.model.rows} == {rarest}
    after = look.narrow.values("state")
    assert set(after) == set(before)
    for row in after.values():
        assert row.isEnabled() == (row.count > 0 or row.isChecked())
    look.narrow.head_of("family").click()
    zeros = [row for name in ("symptom", "family") for row in look.narrow.values(name).values() if row.count == 0]
    assert zeros
    assert not any(row.isEnabled() for row in zeros)
    look.narrow.clear_button.click()
    running.rest()
    assert {value: row.count for value, row in look.narrow.values("state").items()} == before


def test_counts_agree_with_the_list(running: Running) -> None:
    running.ask("brake drag")
    look = running.look
    while look.results.more_button.isVisible():
        look.results.more_button.click()
        running.rest()
    for state, row in look.narrow.values("state").items():
        assert row.count == sum(item.hit.state == state for item in look.results.model.rows)


def test_nothing_found_says_what_to_leave_out(running: Running) -> None:
    running.ask("overheats in traffic")
    look = running.look
    missing = next(state for state in STATES if state not in look.narrow.values("state"))
    look._narrow_to(look.question.conditions.narrowed("state", missing, on=True))
    running.rest()
    assert _numbers(running) == []
    assert look.results.notes.note is not None
    button = next(b for b in look.results.notes.note.findChildren(Button) if b.isVisible())
    button.click()
    running.rest()
    assert _numbers(running)


def test_what_another_window_or_command_saves_is_found_without_asking(running: Running) -> None:
    running.ask("squeals when reversing")
    look = running.look
    other = Session.open("practice", author="RA", follow=False)
    other.jot(Jot("Squeals when reversing on wet mornings", "Velmond Ardane V20D 2020", fixed="plate bent clear"))
    other.close()
    running.until(lambda: any("wet mornings" in row.hit.concern for row in look.results.model.rows), "it is found")


def test_another_screen_hands_over_a_whole_question(running: Running) -> None:
    question = Question(text="hot", family="Drovane", evidence=(Evidence("radiator_spread", "cold_outlet"),))
    running.window.go("look", question)
    running.rest()
    asked = running.look.question.conditions.question(running.look.question.text(), typing=False, limit=20)
    assert asked == question
    assert [chip.text() for chip in running.look.question.chips()] == ["Family Drovane", "Radiator spread cold outlet"]


def test_the_case_is_copied_as_text(running: Running) -> None:
    running.ask("2025-0067")
    running.press(Qt.Key.Key_C, Ctrl | Qt.KeyboardModifier.ShiftModifier)
    copied = QGuiApplication.clipboard().text()
    assert copied.startswith("2025-0067")
    assert "Water pump impeller slips on its shaft when warm" in copied
    assert "Retest" in copied


@pytest.mark.parametrize(("width", "columns"), [(1280, 3), (1024, 2)])
def test_narrow_by_becomes_a_panel_where_room_is_short(start: Start, practice: Path, width: int, columns: int) -> None:
    running = start(width=width, height=700)
    running.activate()
    look = running.look
    assert look.narrow_button.isVisible() == (columns == 2)
    if columns == 2:
        assert not look.narrow.isVisible()
        running.press(Qt.Key.Key_B, Ctrl)
        assert look.narrow.isVisible()
        row = look.narrow.values("state")["proved"]
        QTest.mouseClick(row, Qt.MouseButton.LeftButton)
        running.rest()
        assert look.narrow_button.text() == "Narrow by, 1 set"
        running.press(Escape)
        assert not look.narrow.isVisible()
        assert QApplication.focusWidget() is look.narrow_button
    else:
        assert look.narrow.isVisible()


def test_across_the_bay_one_pane_stands_alone(start: Start, practice: Path) -> None:
    running = start(width=1024, height=700)
    running.activate()
    running.program.resize("across")
    running.ask("overheats in traffic")
    look = running.look
    assert look.results.isVisible()
    assert not look.right.isVisible()
    look.results.list.setFocus()
    running.press(Enter)
    running.rest()
    assert look.reading.isVisible()
    assert not look.results.isVisible()
    QTest.mouseClick(look.reading.back_button, Qt.MouseButton.LeftButton)
    assert look.results.isVisible()


def test_every_key_of_the_screen_does_something(running: Running) -> None:
    keys = {sequence.toString() for action in running.look.actions() for sequence in action.shortcuts()}
    for name in ("question", "clear-question", "add-condition", "narrow", "next-case", "previous-case", "copy-case"):
        assert set(key(name).sequences) <= keys


def test_while_the_index_is_rebuilt_plain_text_answers_and_the_screen_says_so(start: Start, practice: Path) -> None:
    shutil.rmtree(places().cache)
    running = start(wait=False)
    running.activate()
    running.until(lambda: running.program.book.state == "open", "open")
    running.type("thermostat")
    look = running.look
    running.until(lambda: bool(look.results.model.rows) and look.results.index_note.note is not None, "plain answer")
    note = look.results.index_note.note
    assert note is not None
    assert note.text().startswith("Searching by plain text while the index is rebuilt")
    running.until(lambda: bool(look.narrow.values("state")), "the question is asked again once the index is ready")
    running.rest()
    assert look.results.index_note.note is None
    assert look.reading.why.lines.rows[0].words != "Holds every word"
