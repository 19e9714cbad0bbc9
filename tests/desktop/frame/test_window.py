"""The frame: screens, panes, windows, memory, the practice bar, books that do not open."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QTableWidget

from kbapp.app.session import Session
from kbapp.app.settings import read_settings
from kbapp.desktop.frame.window_memory import WindowMemory
from kbapp.desktop.keys import KEYS
from kbapp.desktop.screens import all_screens
from kbapp.desktop.widgets.buttons import Button
from kbapp.records.case import Shop
from kbapp.store.book import create_book
from tests.desktop.conftest import Start
from tests.desktop.running import Running

Ctrl = Qt.KeyboardModifier.ControlModifier
Alt = Qt.KeyboardModifier.AltModifier
Shift = Qt.KeyboardModifier.ShiftModifier
SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")


@pytest.fixture
def running(start: Start, practice: Path) -> Running:
    made = start()
    made.activate()
    return made


@pytest.fixture
def own_book(tmp_path: Path) -> str:
    create_book(str(tmp_path / "book"), SHOP).close()
    session = Session.open(str(tmp_path / "book"), follow=False)
    session.prepare_index()
    session.close()
    return str(tmp_path / "book")


def test_the_window_is_there_before_the_book(start: Start, practice: Path) -> None:
    running = start(wait=False)
    assert running.window.isVisible()
    assert running.program.book.state in ("closed", "opening")
    assert running.look.results.notes.note is not None
    running.activate()
    running.type("overheats in traffic")
    running.until(lambda: bool(running.look.results.model.rows), "the question is asked once the book is open")


def test_leaving_while_the_book_is_still_being_opened_leaves_nothing_open(start: Start, practice: Path) -> None:
    running = start(wait=False)
    running.until(lambda: running.program.book.state == "opening", "opening")
    running.program.quit()
    running.program.close()
    assert running.program.book.info is None


def test_keys_lead_from_screen_to_screen(running: Running) -> None:
    reached = all_screens()[:10]
    for place, entry in enumerate(reached, 1):
        running.press(Qt.Key(Qt.Key.Key_0 + place % 10), Ctrl)
        assert running.window.current == entry.key
        assert running.window.index.tab(entry.key).isChecked()
    running.press(Qt.Key.Key_F1, Shift)
    assert running.window.current == "keys"
    running.press(Qt.Key.Key_Escape)
    assert running.window.current == reached[-1].key


def test_tabs_of_the_index_are_buttons(running: Running) -> None:
    QTest.mouseClick(running.window.index.tab("jot"), Qt.MouseButton.LeftButton)
    assert running.window.current == "jot"
    running.window.index.tab("look").setFocus()
    running.press(Qt.Key.Key_Space)
    assert running.window.current == "look"


def test_f6_goes_round_the_panes(running: Running) -> None:
    running.ask("overheats in traffic")
    panes = running.look.panes()
    running.look.question.edit.setFocus()
    seen = []
    for _step in panes:
        running.press(Qt.Key.Key_F6)
        seen.append(QApplication.focusWidget())
    assert seen == [panes[1], panes[2], panes[0]]
    running.press(Qt.Key.Key_F6, Shift)
    assert QApplication.focusWidget() is panes[2]


def test_panes_get_wider_by_keyboard(running: Running) -> None:
    running.ask("overheats in traffic")
    running.look.results.list.setFocus()
    before = running.look.results.width()
    running.press(Qt.Key.Key_Left, Ctrl | Alt)
    assert running.look.results.width() < before
    running.press(Qt.Key.Key_Right, Ctrl | Alt)
    assert running.look.results.width() == before


def test_size_and_theme_are_changed_by_key_and_kept(running: Running, tmp_path: Path) -> None:
    running.press(Qt.Key.Key_2, Ctrl | Alt)
    assert running.program.theme.size == "bay"
    running.press(Qt.Key.Key_T, Ctrl | Alt)
    chosen = running.program.theme.choice
    assert chosen != "system"
    running.rest()
    settings, damaged = read_settings(tmp_path / "home" / "config" / "settings.json")
    assert not damaged
    assert (settings.size, settings.theme) == ("bay", chosen)


def test_every_key_is_told_on_the_keys_page(running: Running) -> None:
    running.window.go("keys")
    table = running.window.screen_of("keys").findChild(QTableWidget)
    assert table is not None
    texts = [table.item(row, 1).text() for row in range(table.rowCount())]  # type: ignore[union-attr]
    reached = all_screens()[:10]
    assert texts[: len(reached)] == [f"Go to {entry.name}" for entry in reached]
    assert texts[len(reached) :] == [key.text for key in KEYS]
    pages = (running.window, *map(running.window.screen_of, running.window._entries))
    made = {action.text() for page in pages for action in page.actions()}
    told = {key.text for key in KEYS if key.action and not key.id.startswith("size-")}
    assert told <= made


def test_the_practice_bar_stands_above_practice_and_nothing_else(running: Running, start: Start, own_book: str) -> None:
    assert running.window.practice_bar.isVisible()
    other = start(own_book)
    assert not other.window.practice_bar.isVisible()
    assert "Weir Lane" in other.window.index.findChildren(type(running.window.index._book))[0].text()


def test_an_empty_book_leads_to_the_first_jot(start: Start, own_book: str) -> None:
    running = start(own_book)
    note = running.look.results.notes.note
    assert note is not None
    assert "no case yet" in note.text()
    next(button for button in note.findChildren(Button)).click()
    assert running.window.current == "jot"


def test_a_book_that_does_not_open_is_a_sentence_on_the_page(start: Start, tmp_path: Path) -> None:
    running = start(str(tmp_path / "nowhere"), wait=False)
    running.until(lambda: running.program.book.state == "failed", "refused")
    note = running.window.screen_of(running.window.current).notes.note
    assert note is not None
    assert "Traceback" not in note.text()
    assert "nowhere" in note.text()
    assert running.look.results.notes.note is None


def test_opening_can_be_tried_again(start: Start, tmp_path: Path) -> None:
    running = start(str(tmp_path / "late"), wait=False)
    running.until(lambda: running.program.book.state == "failed", "refused")
    create_book(str(tmp_path / "late"), SHOP).close()
    note = running.look.notes.note
    assert note is not None
    next(button for button in note.findChildren(Button) if button.text() == "Try again").click()
    running.until(lambda: running.program.book.state == "open", "open at the second try")
    running.rest()
    assert running.look.notes.note is None


def test_a_second_window_shows_the_same_book_and_closes_alone(running: Running) -> None:
    running.press(Qt.Key.Key_N, Ctrl | Shift)
    assert len(running.program.windows) == 2
    other = running.program.windows[1]
    other.go("look")
    running.rest()
    assert other.screen_of("look") is not running.look
    other.close()
    running.qtbot.waitUntil(lambda: len(running.program.windows) == 1)
    assert running.window.isVisible()


def test_place_screen_and_panes_are_remembered(running: Running, start: Start, tmp_path: Path) -> None:
    running.ask("overheats in traffic")
    running.look.split.setSizes([230, 400, 460])
    sizes = running.look.split.sizes()
    running.window.go("jot")
    running.window.close()
    memory = WindowMemory(tmp_path / "window.ini")
    assert memory.last_screen() == "jot"
    assert memory.screen("look") == {"panes": sizes}
    again = start(screen="")
    assert again.window.current == "jot"
    again.window.go("look")
    assert again.look.split.sizes() == sizes


@pytest.mark.parametrize("text", ["", "[screens]\nlook=nonsense\n[window]\ngeometry=broken\n", "\x00\x01\x02"])
def test_a_damaged_memory_means_the_defaults(start: Start, practice: Path, tmp_path: Path, text: str) -> None:
    (tmp_path / "window.ini").write_text(text, encoding="utf-8")
    running = start(screen="")
    assert running.window.current == "bench"
    assert running.window.width() == 1280


def test_an_error_nobody_expected_is_shown_in_the_window(running: Running) -> None:
    def work(_control: object) -> None:
        raise ZeroDivisionError

    running.program.tasks.run("read", running.window, work)
    running.rest()
    note = running.look.notes.note
    assert note is not None
    assert "made a mistake" in note.text()


def test_help_on_a_screen_opens_its_page_and_links_stay_inside(running: Running) -> None:
    running.press(Qt.Key.Key_F1)
    running.rest()
    page = running.window.screen_of("help")
    assert running.window.current == "help"
    assert "Look First" in page.text.toPlainText()  # type: ignore[attr-defined]
    running.press(Qt.Key.Key_Escape)
    assert running.window.current == "look"


def test_the_ring_stands_around_what_has_the_keyboard_and_nowhere_else(start: Start, practice: Path) -> None:
    running = start(wait=False)
    ring = running.window.ring
    assert ring.widget() is not None or not ring.isVisible()
    running.activate()
    running.rest()
    edit = running.look.question.edit
    assert ring.widget() is edit
    assert ring.geometry().contains(edit.geometry())
    running.look.results.list.setFocus()
    assert not ring.isVisible()
