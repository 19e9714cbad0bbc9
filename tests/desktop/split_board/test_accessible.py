"""The board in every state, size and width: names, targets, nothing cut, nothing untranslated, Tab goes everywhere."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QWidget

from kbapp.desktop.reading.case_head import case_title
from kbapp.desktop.split_board.record_panel import KINDS
from kbapp.desktop.theme.tokens import SIZES, SizeName
from kbapp.records.timeline import PartEntry
from kbapp.wording.case_words import vehicle_words
from tests.desktop.conftest import Start
from tests.desktop.split_board.hands import Board, overheating
from tests.desktop.walker import cut_off, nameless, too_small, untranslated


def _planned() -> PartEntry:
    return PartEntry(id="e3", kind="part", part="thermostat", stage="planned", at="2026-10-01")


def _data(board: Board) -> set[str]:
    """Returns the words of case, map, book and shop, which are in nobody's catalogue."""
    page = board.page
    view = page.desk.view
    assert view is not None
    assert view.section_map is not None
    found = {case_title(view.case), view.currency, vehicle_words(view.case.vehicle), view.section_map.title, "°C", "V"}
    found.add(f"{vehicle_words(view.case.vehicle)}. {view.section_map.title}")
    for section in view.section_map.sections:
        found |= {section.name}
    for section_map in (view.section_map, *view.nested):
        for test in section_map.tests:
            found |= {test.name, *(outcome.name for outcome in test.outcomes), *(c.name for c in test.conditions)}
            found |= {substitute.name for substitute in test.substitutes}
            found |= set(test.readings.places) if test.readings is not None else set()
    return {text.casefold()[:60] for text in found}


def _is_data(fault: str, data: set[str]) -> bool:
    words = fault.rpartition(": ")[2].casefold()
    return words in data or any(fault.casefold().endswith(f": {known}") for known in data)


def _faults(board: Board) -> list[str]:
    data = _data(board)
    window, least = board.running.window, SIZES[board.running.program.theme.size].row
    wrong: list[str] = []

    def check(state: str) -> None:
        board.running.rest()
        words = [fault for fault in untranslated(window) if not _is_data(fault, data) and "Öpéñ çàsés" not in fault]
        found = (*nameless(window), *too_small(window, least), *cut_off(window), *words)
        wrong.extend(f"{state}: {fault}" for fault in found)

    page = board.page
    check("board")
    page.to_guard()
    check("guard")
    page.timeline.card.fit_button.click()
    check("reason")
    page.leave()
    page.lines.close_guard()
    page.timeline.list.pick(1)
    page.side.all_button.click()
    check("a line")
    for kind in KINDS:
        page.record(kind)
        check(kind)
    page.panel.part.purpose.choose("measured")
    page.record("part")
    check("exemption")
    page.record("test")
    page.panel.test.choose("")
    check("free words")
    page.panel.test.more_cautions.click()
    page.panel.test.timer_button.click()
    check("timer")
    page.choose_map()
    check("maps")
    page.leave()
    page.put_down()
    check("open cases")
    return wrong


@pytest.mark.parametrize("room", [(1280, 800), (1024, 700)], ids=["1280", "1024"])
@pytest.mark.parametrize("size", ["desk", "bay", "across"])
def test_everything_has_a_name_a_size_and_a_translation(
    start: Start, practice: Path, monkeypatch: pytest.MonkeyPatch, size: SizeName, room: tuple[int, int]
) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    running = start(width=room[0], height=room[1])
    running.program.resize(size)
    case = overheating()
    board = Board(running).put(case.model_copy(update={"timeline": (*case.timeline, _planned())}))
    assert running.window.width() == room[0], "the window is wider than it was asked to be"
    wrong = _faults(board)
    assert wrong == [], "\n".join(wrong)


def test_tab_reaches_the_flow_the_lines_the_guard_and_the_lists(start: Start, practice: Path) -> None:
    running = start()
    case = overheating()
    board = Board(running).put(case.model_copy(update={"timeline": (*case.timeline, _planned())}))
    running.activate()
    page = board.page
    page.timeline.list.setFocus()
    seen: list[QWidget] = []
    for _press in range(90):
        running.press(Qt.Key.Key_Tab)
        focus = QApplication.focusWidget()
        assert focus is not None
        if focus is page.timeline.list:
            break
        seen.append(focus)
    else:
        pytest.fail("Tab never comes round")
    for control in (
        *page.flow.flow.page.nodes.values(), page.timeline.card.test_button, page.timeline.card.exempt_button,
        page.possible.list, page.side.next, page.side.run_button, page.side.gaps, page.side.kin, page.buttons.record,
    ):  # fmt: skip
        assert control in seen, control.accessibleName()


def test_flow_and_table_say_the_same_aloud(start: Start, practice: Path) -> None:
    board = Board(start()).put(overheating())
    board.run("radiator_spread")
    board.record_outcome("cold_outlet")
    page = board.page
    said = {row.section: row.spoken() for row in page.possible.list._rows}
    for section, node in page.flow.flow.page.nodes.items():
        interface = QAccessible.queryAccessibleInterface(node)
        name = interface.text(QAccessible.Text.Name)
        assert said[section].startswith(name)
    assert "for: 3" in said["flow"]
    assert "Line 3: outlet much colder than inlet" in page.flow.flow.page.accessibleDescription()
    node = page.flow.flow.page.nodes["gas"]
    node.setFocus()
    board.running.press(Qt.Key.Key_Space)
    current = page.possible.list.lines.rows[page.possible.list.currentIndex().row()]
    assert current.section == "gas"  # type: ignore[union-attr]
