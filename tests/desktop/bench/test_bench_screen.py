"""The Bench in a real window on real books, by mouse and by keyboard."""

from datetime import datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kbapp.app.adding import NewCase
from kbapp.app.jot import Jot
from kbapp.app.session import Session
from kbapp.desktop.bench.rows import BenchLine
from kbapp.desktop.widgets.buttons import Button
from kbapp.records.case import Shop
from kbapp.records.private import PrivateDetails
from kbapp.store.book import create_book
from tests.bench_cases import LOW_PEDAL, a_bench, case
from tests.desktop.conftest import Start
from tests.desktop.running import Running

TODAY = datetime.now().astimezone().date()
SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
Ctrl, Shift = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def book(tmp_path: Path) -> str:
    where = str(tmp_path / "book")
    create_book(where, SHOP).close()
    return where


@pytest.fixture
def running(start: Start, book: str) -> Running:
    session = Session.open(book, author="RA", follow=False)
    details = PrivateDetails(plate="AB 123 CD", vin="ZBRPALB18J0012345")
    cases = a_bench(TODAY)
    session.add([NewCase(cases[0], details), *(NewCase(one) for one in cases[1:])])
    session.prepare_index()
    session.close()
    made = start(book, screen="bench")
    made.activate()
    made.until(lambda: bool(made.bench.list.lines.rows), "the Bench is read")
    made.rest()
    return made


def _line(running: Running, number: str) -> BenchLine:
    return next(line for line in running.bench.list.lines.rows if line.number == number)


def _row(running: Running, number: str) -> int:
    return running.bench.list.lines.rows.index(_line(running, number))


def test_groups_stand_in_order_with_their_counts(running: Running) -> None:
    heads = [(line.title, line.remark) for line in running.bench.list.lines.rows if line.kind == "head"]
    assert heads == [
        ("On the bench", "3 open"), ("Waiting for a retest", "2 repaired, not yet proved"),
        ("Follow-ups due", "2 to ask again"), ("Came back", "1 whose repair did not hold"),
    ]  # fmt: skip


def test_a_line_says_where_a_case_stands_and_what_is_next(running: Running) -> None:
    mapped = _line(running, "O-2")
    assert mapped.state is not None
    assert mapped.share.endswith("%")
    assert mapped.next.first
    assert _line(running, "O-1").next.first == "No map yet"
    assert _line(running, "R-2").stands.second == "The last retest failed"
    assert _line(running, "F-1").next.second == "Due 2 days ago"
    assert "Next: Ask how it is" in _line(running, "F-1").spoken()


def test_arrows_pass_over_heads_and_enter_opens_the_case(running: Running) -> None:
    bench = running.bench
    running.press(Qt.Key.Key_F6)
    assert QApplication.focusWidget() is bench.list
    kinds = []
    for _step in range(6):
        assert bench.list.current is not None
        kinds.append(bench.list.current.kind)
        running.press(Qt.Key.Key_Down)
    assert kinds == ["case"] * 6
    bench.list.pick(_row(running, "O-2"))
    running.press(Qt.Key.Key_Return)
    running.rest()
    assert running.window.current != "bench"
    running.press(Qt.Key.Key_1, Ctrl)
    assert running.window.current == "bench"


def test_a_press_picks_a_line_and_the_button_opens_it(running: Running) -> None:
    bench = running.bench
    index = bench.list.lines.index(_row(running, "O-2"), 0)
    bench.list.scrollTo(index)
    QTest.mouseClick(bench.list.viewport(), LEFT, pos=bench.list.visualRect(index).center())
    running.until(lambda: bench.side.possible.isVisible(), "what is still possible")
    assert "Pedal goes low, O-2" in bench.side.case_head.accessibleDescription()
    assert bench.side.test_words.isVisible()
    QTest.mouseClick(bench.side.open_button, LEFT)
    assert running.window.current != "bench"


def test_a_scanner_finds_the_vehicle_and_escape_goes_back(running: Running) -> None:
    bench = running.bench
    running.press(Qt.Key.Key_P, Ctrl)
    running.type("IZBRPALB18J0012345")
    running.press(Qt.Key.Key_Return)
    running.rest()
    assert [line.number for line in bench.list.lines.rows] == ["O-1"]
    assert bench.list.lines.rows[0].next.first == "This VIN"
    running.press(Qt.Key.Key_Escape)
    running.rest()
    assert len(bench.list.lines.rows) > 4
    assert QApplication.focusWidget() is bench.visits.edit


def test_a_plate_is_found_while_it_is_typed_and_nothing_found_leads_on(running: Running) -> None:
    bench = running.bench
    running.type("ab123cd")
    running.until(lambda: [line.number for line in bench.list.lines.rows] == ["O-1"], "found by plate")
    running.type("x")
    running.until(lambda: bench.list.lines.rows == (), "no such plate")
    note = bench.list_notes.note
    assert note is not None
    assert "No earlier visit" in note.text()
    next(b for b in note.findChildren(Button) if b.text() == "Start a concern").click()
    assert running.window.current in ("jot", "triage")


def test_what_others_save_appears_within_two_seconds(running: Running, book: str) -> None:
    other = Session.open(book, author="DS", follow=False)
    other.jot(Jot("Squeals when reversing", "Velmond Ardane V20D 2020"))
    other.close()
    running.qtbot.waitUntil(
        lambda: any("Squeals" in line.concern for line in running.bench.list.lines.rows), timeout=3_000
    )


def test_a_long_group_ends_with_a_way_to_all_of_it(start: Start, book: str) -> None:
    session = Session.open(book, author="RA", follow=False)
    session.add([NewCase(case(f"N-{n}", "open", TODAY)) for n in range(53)])
    session.prepare_index()
    session.close()
    running = start(book, screen="bench")
    running.until(lambda: bool(running.bench.list.lines.rows), "the Bench is read")
    last = running.bench.list.lines.rows[-1]
    assert (last.kind, last.title) == ("more", "3 more: open them in Look First")
    running.bench._open(last)
    running.rest()
    assert running.window.current == "look"
    assert running.look.results.head.accessibleName().startswith("53 cases")


def test_an_empty_bench_gives_a_start_and_the_practice_book(start: Start, book: str, practice: Path) -> None:
    running = start(book, screen="bench")
    running.until(lambda: running.bench.list_notes.note is not None, "empty")
    running.rest()
    note = running.bench.list_notes.note
    assert note is not None
    assert "holds no case yet" in note.text()
    buttons = {b.text(): b for b in note.findChildren(Button)}
    assert set(buttons) == {"Start a concern", "Open the practice book"}
    buttons["Open the practice book"].click()
    running.until(lambda: running.program.book.location == "practice", "the practice book is open")
    running.rest()
    assert running.window.current == "bench"
    assert running.window.practice_bar.isVisible()
    running.until(lambda: bool(running.bench.list.lines.rows), "its Bench is read")


def test_nothing_is_worked_out_while_another_screen_is_shown(start: Start, book: str) -> None:
    session = Session.open(book, author="RA", follow=False)
    session.add([NewCase(case("O-9", "open", TODAY, map={"id": LOW_PEDAL, "version": 1}))])
    session.prepare_index()
    session.close()
    running = start(book, screen="look")
    bench = running.bench
    running.rest()
    assert bench.steps.known([("x", 0)]) == {}
    assert bench.steps._known == {}
    running.window.go("bench")
    running.until(lambda: bool(bench.steps._known), "worked out once it is shown")
