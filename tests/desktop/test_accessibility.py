"""Every screen at every size and width it must be usable at: names, targets, nothing cut, nothing untranslated."""

import ast
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QListView, QMenu, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from kbapp.desktop.look_first.conditions import Condition, Conditions
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import SIZES, SizeName
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP, Running
from tests.desktop.walker import cut_off, nameless, too_small, untranslated

ROOM = [(1280, 800), (1024, 700)]
SCREENS = Path(__file__).resolve().parents[2] / "kbapp" / "desktop"


def _states(running: Running) -> list[str]:
    """Walks through the states of the program and returns everything that is wrong in one of them."""
    look, window = running.look, running.window
    least = SIZES[running.program.theme.size].row
    wrong: list[str] = []

    def check(state: str) -> None:
        running.rest()
        faults = (*nameless(window), *too_small(window, least), *cut_off(window))
        wrong.extend(f"{state}: {fault}" for fault in faults)
        wrong.extend(f"{state}: {fault}" for fault in untranslated(window) if state != "help")

    check("empty")
    look.question.put(
        "gets hot in traffic",
        Conditions(
            (Condition("part", "thermostat"), Condition("system", "hvac_cooling"), Condition("test", "fan", "good"))
        ),
    )
    check("answer")
    look._open_reading()
    look.reading.cautions.all_button.click()
    check("reading")
    look._back_to_results()
    look.question.open_panel()
    look.question.panel.kind.setCurrentIndex(look.question.panel.kind.findData("test"))
    check("condition panel")
    look.question.close_panel()
    look._show_narrow()
    check("narrow by")
    look.leave()
    look.question.put("zzzz qqqq", Conditions((Condition("make", "nobody"),)).narrowed("state", "withdrawn", on=True))
    check("nothing found")
    window.go("jot")
    running.jot.form.edits["concern"].setPlainText("hot in traffic")
    running.until(lambda: bool(running.jot.kin_model.rows), "kin")
    check("jot")
    running.jot.record()
    running.until(lambda: running.jot.notes.note is not None, "recorded")
    check("jot recorded")
    window.go("keys")
    check("keys")
    window.open_help()
    check("help")
    return wrong


@pytest.mark.parametrize("room", ROOM, ids=["1280", "1024"])
@pytest.mark.parametrize("size", ["desk", "bay", "across"])
def test_everything_has_a_name_a_size_and_a_translation(
    start: Start, practice: Path, monkeypatch: pytest.MonkeyPatch, size: SizeName, room: tuple[int, int]
) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    running = start(width=room[0], height=room[1])
    running.program.resize(size)
    assert running.window.width() == room[0], "the window is wider than it was asked to be"
    wrong = _states(running)
    assert wrong == [], "\n".join(wrong)


def test_the_walker_sees_each_kind_of_fault(qtbot: QtBot, theme: Theme) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    window.resize(300, 200)
    silent, small = QLineEdit(window), QPushButton("a", window)
    silent.setGeometry(0, 0, 100, 50)
    small.setGeometry(0, 60, 30, 30)
    cut, raw = QLabel("far too long for its place", window), QLabel("Plain words", window)
    away = QPushButton("away", window)
    cut.setGeometry(0, 100, 20, 20)
    raw.setGeometry(100, 100, 200, 30)
    away.setGeometry(280, 150, 100, 50)
    window.show()
    assert nameless(window) == ["QLineEdit"]
    assert [fault.split()[1] for fault in too_small(window, 44)] == ["a"]
    cut_names = sorted(fault.split(":")[0] for fault in cut_off(window))
    assert cut_names == ["QLabel far too long for its place", "QPushButton a", "QPushButton away"]
    assert any("Plain words" in fault for fault in untranslated(window))


def test_tab_reaches_every_control_and_comes_round(start: Start, practice: Path) -> None:
    running = start()
    running.activate()
    running.ask("overheats in traffic")
    running.look.question.edit.setFocus()
    seen: list[QWidget] = []
    for _press in range(120):
        running.press(Qt.Key.Key_Tab)
        focus = QApplication.focusWidget()
        assert focus is not None
        if focus is running.look.question.edit:
            break
        seen.append(focus)
    else:
        pytest.fail("Tab never comes round")
    look = running.look
    for control in (
        look.question.look_button, look.question.add_button, look.results.list, look.reading.timeline,
        look.reading.copy_button, look.narrow.head_of("state"), running.window.index.tab("jot"),
    ):  # fmt: skip
        assert control in seen
    places = [seen.index(c) for c in (look.question.look_button, look.narrow.head_of("symptom"), look.results.list)]
    assert places == sorted(places)


def test_the_focus_ring_follows_the_keyboard(start: Start, practice: Path) -> None:
    running = start()
    running.activate()
    ring = running.window.ring
    running.look.question.look_button.setFocus()
    assert ring.widget() is running.look.question.look_button
    assert ring.isVisible()
    running.program.choose_theme("dark")
    assert ring.widget() is running.look.question.look_button
    running.look.results.list.setFocus()
    assert ring.widget() is None


def test_a_screen_reader_hears_results_timeline_and_reasons(start: Start, practice: Path) -> None:
    running = start()
    running.ask("2025-0067")
    look = running.look
    role = Qt.ItemDataRole.AccessibleTextRole
    heard = {
        view.accessibleName(): [view.model().index(n, 0).data(role) for n in range(view.model().rowCount())]
        for view in (look.results.list, look.reading.timeline, look.reading.why)
    }
    assert "Proved" in heard["Cases found"][0]
    assert "Cause: Water pump impeller" in heard["Cases found"][0]
    assert any("inlet 104 105" in line and "Cold outlet" in line for line in heard["Timeline"])
    assert any("as line 8" in line and "Passed" in line for line in heard["Timeline"])
    assert all(isinstance(view, QListView) for view in (look.results.list, look.reading.timeline, look.reading.why))
    interface = QAccessible.queryAccessibleInterface(look.reading.case_head)
    assert "2025-0067" in interface.text(QAccessible.Text.Name)
    assert "Water pump impeller" in interface.text(QAccessible.Text.Description)


@pytest.mark.qt_log_ignore(*POPUP)
def test_the_menu_has_targets_and_ticks_what_is_in_force(start: Start, practice: Path) -> None:
    running = start()
    running.activate()
    running.press(Qt.Key.Key_F10)
    menu = running.window.menu
    assert menu.isVisible()
    heights = [menu.actionGeometry(action).height() for action in menu.actions() if not action.isSeparator()]
    assert min(heights) >= 44
    sizes = next(child for child in menu.findChildren(QMenu) if child.title() == "Size")
    assert [action.text() for action in sizes.actions() if action.isChecked()] == ["Desk"]
    menu.close()


def test_no_sentence_of_the_screens_bypasses_gettext() -> None:
    makers = {"Button", "Note", "SectionHead", "PageHead", "TextLabel", "ElideLabel", "Lines", "text", "setText",
              "set_text", "setToolTip", "setAccessibleName", "setPlaceholderText", "setWindowTitle", "say", "RuledEdit",
              "AskEdit", "ValueEdit", "PageText", "HeadRow", "Stamp", "addMenu", "QAction"}  # fmt: skip
    raw = []
    for path in sorted(SCREENS.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if called in makers:
                raw += [
                    f"{path.name}:{arg.lineno} {arg.value!r}"
                    for arg in node.args
                    if isinstance(arg, ast.Constant) and isinstance(arg.value, str) and " " in arg.value.strip()
                ]
    assert raw == []
