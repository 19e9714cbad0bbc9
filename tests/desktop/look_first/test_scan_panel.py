"""A scan report pasted into Look First: its codes are found, confirmed and asked with."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.desktop.conftest import Start
from tests.desktop.running import Running

REPORT = "ECM\nP0217 stored engine over temperature\nP0480 pending fan 1\nP0217 stored\nABS\nno codes\n"
Ctrl, Shift = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def running(start: Start, practice: Path) -> Running:
    made = start()
    made.activate()
    return made


def test_codes_are_confirmed_and_asked_with_by_keyboard(running: Running) -> None:
    QGuiApplication.clipboard().setText(REPORT)
    running.press(Qt.Key.Key_V, Ctrl | Shift)
    panel = running.look.question.report
    assert panel.isVisible()
    assert [button.text() for button in panel.codes.values()] == ["P0217 stored ECM", "P0480 pending ECM"]
    assert QApplication.focusWidget() is panel.ask_button
    panel.codes["P0480"].setFocus()
    running.press(Qt.Key.Key_Space)
    panel.ask_button.setFocus()
    running.press(Qt.Key.Key_Space)
    running.rest()
    assert not panel.isVisible()
    assert [chip.text() for chip in running.look.question.chips()] == ["Code P0217"]
    assert any("P0217" in reason.detail for row in running.look.results.model.rows for reason in row.hit.reasons)


def test_a_report_is_pasted_by_hand_and_one_without_codes_says_so(running: Running) -> None:
    QGuiApplication.clipboard().setText("nothing of use")
    QTest.mouseClick(running.look.question.report_button, Qt.MouseButton.LeftButton)
    panel = running.look.question.report
    assert QApplication.focusWidget() is panel.edit
    assert panel.edit.toPlainText() == ""
    running.type("all systems fine")
    assert "No trouble code found" in panel.said.text()
    assert not panel.ask_button.isEnabled()
    panel.edit.setPlainText("c 0035-11 confirmed ABS")
    assert panel.ask_button.isEnabled()
    running.press(Qt.Key.Key_Escape)
    assert not panel.isVisible()
    assert running.look.question.conditions.items == ()
