"""The overheating situation from an open case to a repaired one, in a real window: by mouse, then by keyboard alone."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kbapp.records.timeline import PartEntry, TestEntry
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP
from tests.desktop.split_board.hands import CASE_ID, Board, overheating


def _part(board: Board, place: int) -> PartEntry:
    entry = board.case.timeline[place]
    assert isinstance(entry, PartEntry)
    return entry


@pytest.mark.qt_log_ignore(*POPUP)
def test_from_open_to_repaired_by_mouse(start: Start, practice: Path) -> None:
    board = Board(start()).put(overheating())
    page, panel = board.page, board.page.panel
    before = board.share("flow")

    # the fan runs at full speed, so it is not the fan
    board.run("command_fan")
    for line in panel.test.conditions.lines:
        board.click(line.met)
    board.record_outcome("full_speed")
    assert page.head.kept.text().startswith("Recorded ")
    assert board.share("fan") < 0.05
    assert board.outlook.advice is not None
    assert board.outlook.advice.picture.state("fan") == "clear"

    # a cold outlet with a hot inlet, read twice
    board.run("radiator_spread")
    for (row, repeat), text in {(0, 0): "104", (1, 0): "41", (0, 1): "105 C", (1, 1): "43"}.items():
        board.write(panel.test.readings.fields[row, repeat], text)
    board.record_outcome("cold_outlet")
    entry = board.case.timeline[3]
    assert isinstance(entry, TestEntry)
    assert [(r.where, r.value, r.unit, r.repeat) for r in entry.readings] == [
        ("inlet", 104, "degC", 1), ("outlet", 41, "degC", 1), ("inlet", 105, "degC", 2), ("outlet", 43, "degC", 2),
    ]  # fmt: skip
    assert board.share("flow") > before

    # a third thermostat is planned: the guard speaks under its line, and stamps it
    page.record("part")
    board.write(panel.part.part, "thermostat")
    board.write(panel.part.cost, "60")
    board.click(panel.part.record_button)
    board.settle()
    card = page.timeline.card
    assert card.isVisible()
    assert card.words is not None
    assert card.words.stamp == "Repeat"
    assert "line 2" in " ".join(card.words.sentences)
    assert "planned at line 5" in card.words.head
    assert card.words.fit_now
    assert card.words.next_minutes
    stamp = _part(board, 4).guard
    assert stamp is not None
    assert sorted(stamp.evidence) == ["e1", "e2", "e3", "e4"]
    assert "repeat" in [warning.rule for warning in stamp.warnings]

    # instead of fitting it, the next test: little flow isolates the pump
    wanted = card.words.next_test
    board.click(card.test_button)
    assert panel.test.chosen == wanted
    panel.test.choose("flow_watch")
    board.record_outcome("little")
    assert board.outlook.advice is not None
    assert board.outlook.advice.picture.state("flow") == "supported"

    # the pump is fitted and cures it: no warning, the evidence favours its section
    page.record("part")
    board.click(panel.part.stage.buttons["fitted"])
    board.write(panel.part.part, "water pump")
    board.click(panel.part.record_button)
    board.settle()
    fitted = _part(board, 6)
    assert fitted.guard is not None
    assert [w.rule for w in fitted.guard.warnings if w.weight == "strong"] == []
    page.timeline.list.pick(6)
    board.click(page.timeline.line_bar.effects["gone"])
    board.settle()
    assert _part(board, 6).effect == "gone"

    page.record("repair")
    assert panel.repair.section.value == "flow"
    assert panel.repair.part.text() == "water pump"
    board.write(panel.repair.cause, "Impeller loose on its shaft")
    board.write(panel.repair.correction, "Water pump, coolant, filled under vacuum")
    board.click(panel.repair.record_button)
    board.settle()
    assert board.case.state == "repaired"
    assert board.case.cause is not None
    assert board.case.cause.section == "flow"
    assert board.case.correction is not None
    assert [part.part for part in board.case.correction.parts] == ["water pump"]


@pytest.mark.qt_log_ignore(*POPUP)
def test_from_open_to_repaired_by_keyboard_alone(start: Start, practice: Path) -> None:
    running = start()
    board = Board(running).put(overheating())
    page, panel = board.page, board.page.panel
    running.activate()
    control = Qt.KeyboardModifier.ControlModifier
    both = control | Qt.KeyboardModifier.ShiftModifier

    # F6 goes round the panes; the list of next tests opens the test of its line
    page.side.next.show_all(every=True)
    for _turn in range(8):
        running.press(Qt.Key.Key_F6)
        if QApplication.focusWidget() is page.side.next:
            break
    assert QApplication.focusWidget() is page.side.next
    tests = [row.test for row in page.side.next.lines.rows]
    running.press(Qt.Key.Key_Home)
    for _step in range(tests.index("radiator_spread")):
        running.press(Qt.Key.Key_Down)
    running.press(Qt.Key.Key_Return)
    assert panel.test.chosen == "radiator_spread"
    running.press(Qt.Key.Key_Space)
    assert panel.test.conditions.lines[0].value() is True
    while QApplication.focusWidget() is not panel.test.readings.fields[0, 0]:
        running.press(Qt.Key.Key_Tab)
    for text in ("104", "41", "105", "43"):
        running.type(text)
        running.press(Qt.Key.Key_Return)
    while QApplication.focusWidget() is not panel.test.outcome_buttons["cold_outlet"]:
        running.press(Qt.Key.Key_Tab)
    running.press(Qt.Key.Key_Space)
    board.settle()
    assert isinstance(board.case.timeline[-1], TestEntry)
    assert len(board.case.timeline[-1].readings) == 4

    # a part by its key; the guard by its key; a reason in its place
    running.press(Qt.Key.Key_P, both)
    running.type("thermostat")
    running.press(Qt.Key.Key_Return, control)
    board.settle()
    running.press(Qt.Key.Key_G, control)
    assert QApplication.focusWidget() is page.timeline.card.test_button
    running.press(Qt.Key.Key_Tab)
    running.press(Qt.Key.Key_Space)
    assert QApplication.focusWidget() is page.timeline.card.reason
    running.type("because")
    assert not page.timeline.card.confirm_button.isEnabled()
    running.type(" the fleet asks for it")
    running.press(Qt.Key.Key_Return)
    board.settle()
    fitted = _part(board, -1)
    assert fitted.stage == "fitted"
    assert fitted.override is not None
    assert (fitted.override.by, fitted.override.reason) == ("IK", "because the fleet asks for it")
    assert not page.timeline.card.isVisible()

    # undone and done again
    running.press(Qt.Key.Key_Z, control)
    board.settle()
    assert _part(board, -1).stage == "planned"
    running.press(Qt.Key.Key_Y, control)
    board.settle()
    assert _part(board, -1).stage == "fitted"

    # repaired, by its key
    running.press(Qt.Key.Key_R, both)
    running.type("Impeller loose on its shaft")
    while QApplication.focusWidget() is not panel.repair.correction:
        running.press(Qt.Key.Key_Tab)
    running.type("Water pump and coolant")
    running.press(Qt.Key.Key_Return, control)
    board.settle()
    assert board.case.state == "repaired"


def test_a_case_opens_from_the_reading_pane_and_from_the_list_of_open_cases(start: Start, practice: Path) -> None:
    running = start()
    board = Board(running)
    running.window.go("split")
    running.rest()
    numbers = [row.title for row in board.page.picker.lines.rows]
    assert any("2026-0068" in title for title in numbers)
    board.page.picker.list.pick(next(n for n, title in enumerate(numbers) if "2026-0068" in title))
    QTest.keyClick(board.page.picker.list, Qt.Key.Key_Return)
    board.settle()
    assert board.case.number == "2026-0068"
    running.window.go("look")
    running.ask("2025-0067")
    running.until(lambda: running.look.reading.view is not None, "a case to read")
    running.look._open_reading()
    board.click(running.look.reading.open_button)
    running.until(lambda: board.page.desk.view is not None and board.case.number == "2025-0067", "the other case")
    board.settle()
    assert running.window.current == "split"


def test_similar_cases_are_asked_for_anew_with_every_result(start: Start, practice: Path) -> None:
    running = start()
    board = Board(running).put(overheating())
    first = [row.key for row in board.page.side.kin.lines.rows]
    assert first
    assert CASE_ID not in first
    asked: list[int] = []
    board.page.desk.kin.connect(lambda answer: asked.append(len(answer.question.evidence)))
    board.run("radiator_spread")
    board.record_outcome("cold_outlet")
    assert asked[-1] == 1
    board.run("flow_watch")
    board.record_outcome("little")
    assert asked[-1] == 2
