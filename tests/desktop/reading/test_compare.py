"""Two cases laid side by side from Look First."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from kbapp.desktop.reading.compare import Compare
from kbapp.desktop.widgets.buttons import Button
from tests.desktop.conftest import Start
from tests.desktop.running import Running

Ctrl = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def running(start: Start, practice: Path) -> Running:
    made = start()
    made.activate()
    made.ask("overheats in traffic")
    return made


def test_two_cases_are_picked_one_after_the_other(running: Running) -> None:
    look = running.look
    first, second = (row.hit.id for row in look.results.model.rows[:2])
    running.press(Qt.Key.Key_D, Ctrl)
    assert look.notes.note is not None
    assert "laid beside another" in look.notes.note.text()
    running.press(Qt.Key.Key_Down, Ctrl)
    running.rest()
    running.press(Qt.Key.Key_D, Ctrl)
    running.rest()
    assert running.window.current == "compare"
    page = running.screen(Compare, "compare")
    assert page.left.view is not None
    assert page.right.view is not None
    assert (page.left.view.case.id, page.right.view.case.id) == (first, second)
    assert page.notes.note is not None
    assert page.notes.note.text().startswith("In both: System Air conditioning and cooling")
    running.press(Qt.Key.Key_Escape)
    assert running.window.current == "look"
    assert look.notes.note is None


def test_the_case_that_waits_stays_over_another_question_until_it_is_dropped(running: Running) -> None:
    look = running.look
    QTest.mouseClick(look.reading.compare_button, Qt.MouseButton.LeftButton)
    running.ask("brake pedal low")
    note = look.notes.note
    assert note is not None
    QTest.mouseClick(note.findChildren(Button)[0], Qt.MouseButton.LeftButton)
    assert look.notes.note is None


@pytest.mark.parametrize(("width", "side"), [(1280, Qt.Orientation.Horizontal), (640, Qt.Orientation.Vertical)])
def test_a_narrow_window_lays_them_one_above_the_other(running: Running, width: int, side: Qt.Orientation) -> None:
    ids = tuple(row.hit.id for row in running.look.results.model.rows[:2])
    running.window.resize(width, 700)
    running.window.go("compare", ids)
    running.rest()
    assert running.screen(Compare, "compare").split.orientation() == side
