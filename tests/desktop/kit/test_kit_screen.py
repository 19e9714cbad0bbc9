"""The Kit List in a real window, by keyboard and mouse."""

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kbapp.app.board import missing_kit
from kbapp.app.kit import KitLine
from kbapp.app.kit_desk import KitDesk
from kbapp.app.session import Session
from kbapp.desktop.kit.screen import KitScreen
from kbapp.desktop.theme.tokens import SIZES, SizeName
from kbapp.records.case import CASE_FORMAT, Case, Concern, Shop, Vehicle
from kbapp.store.book import create_book
from tests.desktop.conftest import Start
from tests.desktop.running import Running
from tests.desktop.walker import faults

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def book(tmp_path: Path) -> str:
    where = str(tmp_path / "book")
    create_book(where, SHOP).close()
    session = Session.open(where, follow=False)
    session.prepare_index()
    session.close()
    return where


def _kit(running: Running) -> KitScreen:
    running.window.go("kit")
    running.rest()
    return running.screen(KitScreen, "kit")


def _kept(book: str) -> dict[str, KitLine]:
    session = Session.open(book, follow=False)
    lines = dict(session.kit().lines())
    session.close()
    return lines


def _find(running: Running, page: KitScreen, words: str) -> None:
    page.seek.setFocus()
    page.seek.clear()
    running.type(words)
    running.press(Qt.Key.Key_Return)
    running.rest()


def test_a_line_is_found_set_and_taken_back(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    page = _kit(running)
    assert len(page.list.lines.rows) > 50
    _find(running, page, "hold valve")
    assert page.list.key == "scan tool: hold valve command"
    assert page.list.hasFocus()
    running.press(Qt.Key.Key_Return)
    assert QApplication.focusWidget() is page.form.first()
    QTest.mouseClick(page.form.standing.buttons["missing"], LEFT)
    running.rest()
    assert "We lack it" in page.list.lines.rows[0].remark
    assert page.head.kept.text().startswith("Recorded")
    assert _kept(book)["scan tool: hold valve command"].standing == "missing"
    page.form.family.setFocus()
    running.type("Drovane")
    running.press(Qt.Key.Key_Return)
    page.form.family_standing.put("have")
    running.press(Qt.Key.Key_Return)
    running.rest()
    assert _kept(book)["scan tool: hold valve command"].families == {"Drovane": "have"}
    QTest.mouseClick(page.undo_button, LEFT)
    running.rest()
    page.list.setFocus()
    running.press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    running.rest()
    assert _kept(book) == {}
    running.press(Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
    running.rest()
    assert _kept(book)["scan tool: hold valve command"].standing == "missing"


def test_own_lines_and_calibration_in_words(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    page = _kit(running)
    _find(running, page, "coil tester")
    assert page.list.key == "coil tester"
    assert "own line" in page.list.lines.rows[0].remark
    for text, words in (
        ((date.today() + timedelta(days=3)).isoformat(), "Calibration due in 3 days"),  # noqa: DTZ011
        ((date.today() - timedelta(days=1)).isoformat(), "Calibration overdue by 1 day"),  # noqa: DTZ011
        ("next spring", "“next spring” is no day"),
    ):
        page.form.due.setFocus()
        page.form.due.selectAll()
        running.type(text)
        running.press(Qt.Key.Key_Return)
        running.rest()
        assert words in page.form.due_field.said()
    assert _kept(book)["coil tester"].due == (date.today() - timedelta(days=1)).isoformat()  # noqa: DTZ011
    page.form.forget_button.click()
    running.rest()
    assert _kept(book) == {}


def _standing(*words: str) -> Callable[[KitDesk], str]:
    def step(desk: KitDesk) -> str:
        desk.stand(*words)  # type: ignore[arg-type]
        return words[0]

    return step


def _due(name: str, day: str) -> Callable[[KitDesk], str]:
    def step(desk: KitDesk) -> str:
        desk.due(name, day)
        return name

    return step


def test_what_can_be_tested_follows_the_kit_and_so_does_the_board(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    page = _kit(running)
    page._run(_standing("scan tool: hold valve command", "missing"))
    page._run(_standing("scan tool: hold valve command", "have", "Quenby"))
    running.rest()
    page.face_button.click()
    running.rest()
    rows = page.tests.maps.lines.rows
    page.tests.maps.pick(next(n for n, row in enumerate(rows) if row.key == "brake-low-pedal"))
    lacking = [row for row in page.tests.tests.lines.rows if "lacks scan tool: hold valve command" in row.remark]
    assert lacking
    assert any("By substitute" in row.remark and "weak" in row.remark for row in lacking)
    page.tests.family.setFocus()
    running.type("Quenby")
    running.press(Qt.Key.Key_Return)
    running.rest()
    assert all("lacks" not in row.remark for row in page.tests.tests.lines.rows)
    running.press(Qt.Key.Key_Escape)
    assert page.faces.currentWidget() is page.split
    session = Session.open(book, follow=False)
    case = Case(format=CASE_FORMAT, id=SHOP.id, state="open", concern=Concern(text="low pedal"))
    assert missing_kit(session, case) == {"scan tool: hold valve command"}
    quenby = case.model_copy(update={"vehicle": Vehicle(family="Quenby")})
    assert missing_kit(session, quenby) == frozenset()
    session.close()


@pytest.mark.parametrize(
    ("size", "room"), [("desk", (1280, 800)), ("desk", (1024, 700)), ("bay", (1280, 800)), ("across", (1280, 1024))]
)
def test_the_kit_list_can_be_used_by_everybody(
    start: Start, practice: Path, monkeypatch: pytest.MonkeyPatch, size: SizeName, room: tuple[int, int]
) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    running = start(width=room[0], height=room[1])
    running.program.resize(size)
    page = _kit(running)
    page._run(_standing("multimeter", "missing", "Drovane"))
    page._run(_due("multimeter", "2026-01-31"))
    running.rest()
    wrong = [f"list: {fault}" for fault in faults(running.window, SIZES[size].row)]
    page.turn()
    running.rest()
    wrong += [f"tests: {fault}" for fault in faults(running.window, SIZES[size].row)]
    assert wrong == [], "\n".join(wrong)
