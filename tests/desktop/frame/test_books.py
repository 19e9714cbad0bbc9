"""Another book in place of the one that is open; several windows on one book."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from kbapp.app.jot import Jot
from kbapp.app.session import Session
from kbapp.desktop.frame.book_page import BookPage
from kbapp.desktop.widgets.buttons import Button
from kbapp.records.case import Shop
from kbapp.store.book import create_book
from tests.desktop.conftest import Start
from tests.desktop.running import Running

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
Ctrl, Shift = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def _book(folder: Path, concern: str) -> str:
    create_book(str(folder), SHOP).close()
    session = Session.open(str(folder), author="RA", follow=False)
    session.jot(Jot(concern, "Kestrow Lindle 2018"))
    session.prepare_index()
    session.close()
    return str(folder)


@pytest.fixture
def running(start: Start, tmp_path: Path) -> Running:
    made = start(_book(tmp_path / "one", "squeals when reversing"))
    made.activate()
    return made


def _open(running: Running, where: str) -> BookPage:
    running.press(Qt.Key.Key_O, Ctrl)
    page = running.screen(BookPage, "open-book")
    running.type(where)
    running.press(Qt.Key.Key_Return)
    running.rest()
    return page


def _concerns(running: Running) -> list[str]:
    return [row.hit.concern for row in running.look.results.model.rows]


def _offered(running: Running) -> str:
    note = running.jot.notes.note
    return note.text() if note is not None else ""


def test_another_book_takes_the_place_of_the_first_in_every_window(running: Running, tmp_path: Path) -> None:
    other = running.program.new_window()
    other.go("bench")
    _open(running, _book(tmp_path / "two", "hums when cold"))
    running.until(lambda: running.program.book.location == str(tmp_path / "two"), "open")
    running.rest()
    assert running.window.current == "look"
    running.until(lambda: _concerns(running) == ["hums when cold"], "its cases are shown")
    bench = other.screen_of("bench")
    running.until(lambda: any("hums" in line.concern for line in bench.list.lines.rows), "here, too")  # type: ignore[attr-defined]
    assert len(running.program.book._made) == 1, "the first book is closed"


def test_a_half_written_jot_stays_with_its_book(running: Running, tmp_path: Path) -> None:
    first = running.program.book.location
    running.window.go("jot")
    running.jot.form.edits["concern"].setFocus()
    running.type("knocks on the first pull away")
    second = _book(tmp_path / "two", "hums when cold")
    _open(running, second)
    running.until(lambda: running.program.book.location == second, "open")
    running.rest()
    assert running.jot.form.text().blank
    assert _offered(running) == ""
    _open(running, first)
    running.until(lambda: running.program.book.location == first, "back")
    running.rest()
    assert "knocks on the first pull away" in _offered(running)


@pytest.mark.parametrize("where", ["nowhere", "mysql://server/book", "postgresql://127.0.0.1:1/book"])
def test_a_book_that_cannot_be_opened_leaves_the_first_open(running: Running, tmp_path: Path, where: str) -> None:
    asked = str(tmp_path / where) if "://" not in where else where
    page = _open(running, asked)
    running.until(lambda: not page._opening, "refused")
    assert page.notes.note is not None
    assert "Traceback" not in page.notes.note.text()
    assert running.program.book.state == "open"
    running.press(Qt.Key.Key_Escape)
    running.ask("squeals")
    assert _concerns(running) == ["squeals when reversing"]


def test_where_no_book_lies_a_new_one_can_be_made(running: Running, tmp_path: Path) -> None:
    page = _open(running, str(tmp_path / "new"))
    running.until(lambda: not page._opening, "refused")
    assert page.notes.note is not None
    make = next(b for b in page.notes.note.findChildren(Button) if b.text() == "Make a new book there")
    QTest.mouseClick(make, Qt.MouseButton.LeftButton)
    running.until(lambda: running.program.book.location == str(tmp_path / "new"), "made and open")
    running.rest()
    assert running.program.book.cases == 0


def test_books_opened_before_are_listed_and_one_can_open_at_every_start(running: Running, tmp_path: Path) -> None:
    first = running.program.book.location
    second = _book(tmp_path / "two", "hums when cold")
    _open(running, second)
    running.until(lambda: running.program.book.location == second, "open")
    running.rest()
    running.window.go("open-book")
    running.rest()
    page = running.screen(BookPage, "open-book")
    assert [row.key for row in page.list.lines.rows][2:] == [second, first]
    QTest.mouseClick(page.start_button, Qt.MouseButton.LeftButton)
    assert running.program.preferences.now.book == second
    page.list.pick(3)
    page.list.setFocus()
    running.press(Qt.Key.Key_Return)
    running.until(lambda: running.program.book.location == first, "the first again")
    running.rest()


def test_what_one_window_records_the_other_shows(running: Running) -> None:
    other = running.program.new_window()
    other.go("bench")
    running.window.go("jot")
    running.jot.form.edits["concern"].setPlainText("drones at 90")
    running.jot.record()
    bench = other.screen_of("bench")
    running.qtbot.waitUntil(
        lambda: any("drones" in line.concern for line in bench.list.lines.rows),  # type: ignore[attr-defined]
        timeout=2_000,
    )
    running.rest()


def test_as_many_windows_come_back_where_they_were(running: Running, start: Start, tmp_path: Path) -> None:
    other = running.program.new_window()
    other.go("jot")
    running.press(Qt.Key.Key_Q, Ctrl)
    running.until(lambda: not running.program.windows, "every window is closed")
    assert "[window2]" in (tmp_path / "window.ini").read_text(encoding="utf-8")
    again = start(str(tmp_path / "one"), screen="")
    assert [window.current for window in again.program.windows] == ["look", "jot"]
    again.program.windows[1].close()
    again.until(lambda: len(again.program.windows) == 1, "one is closed alone")
    again.program.quit()
    again.until(lambda: not again.program.windows, "left")
    assert len(start(str(tmp_path / "one"), screen="").program.windows) == 1


def test_undo_goes_to_the_screen_and_harms_no_other(running: Running) -> None:
    for key in ("bench", "look", "jot"):
        running.window.go(key)
        page = running.window.screen_of(key)
        page.setFocus()
        running.press(Qt.Key.Key_Z, Ctrl)
        running.press(Qt.Key.Key_Z, Ctrl | Shift)
        assert running.window.current == key
    assert not running.window.screen_of("bench").undo()
