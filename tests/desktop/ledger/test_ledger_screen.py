"""The Swap Ledger in a real window on real books: figures, chart, files, filters, retraced cases and lessons."""

import csv
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QGuiApplication
from PySide6.QtTest import QTest

from kbapp.desktop.ledger.screen import LedgerScreen
from kbapp.desktop.theme.tokens import SIZES, SizeName
from tests.desktop.conftest import Start
from tests.desktop.ledger.ledger_books import worked_book
from tests.desktop.running import Running
from tests.desktop.walker import cut_off, nameless, too_small, untranslated

BOOK_WORDS = ("low pedal", "overheats", "Kestrow Lindle")
"""What the book says stands in the lists to choose from as it is."""


def screen_of(running: Running) -> LedgerScreen:
    running.window.go("ledger")
    page = running.screen(LedgerScreen, "ledger")
    running.until(lambda: page.answer is not None, "counted")
    running.rest()
    return page


def ask(running: Running, page: LedgerScreen, key: str) -> None:
    page.list.pick([line.key for line in page.lines.rows].index(key))
    running.rest()


@pytest.fixture
def place(tmp_path: Path) -> str:
    return worked_book(tmp_path / "worked")


def test_each_question_has_its_table_and_charts_stand_on_it_in_the_themes_colours(start: Start, place: str) -> None:
    running = start(place)
    page = screen_of(running)
    charts = set()
    for line in page.lines.rows[:-2]:
        ask(running, page, line.key)
        sheet = page.page.sheet
        assert sheet is not None
        assert sheet.key == line.key
        assert page.page.table.sheets.rowCount() == len(sheet.rows) > 0
        if page.page.chart_view is not None:
            charts.add(line.key)
            assert page.page.chart_view.plot.accessibleName()
    assert charts == {"months", "vain", "comebacks", "calibration"}

    ask(running, page, "months")
    for theme in ("light", "dark"):
        running.program.choose_theme(theme)
        running.rest()
        view = page.page.chart_view
        assert view is not None
        ground = QColor(view.grab().toImage().pixel(QPoint(2, 2)))
        assert ground == running.program.theme.look.colour("page")


def test_figures_are_written_as_csv_and_pdf_and_copied(start: Start, place: str, tmp_path: Path) -> None:
    running = start(place)
    page = screen_of(running)
    ask(running, page, "vain")
    page.page.save_csv(tmp_path / "vain.csv")
    rows = list(csv.DictReader((tmp_path / "vain.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert rows == [
        {"month": "2025-03", "in_vain_EUR": "1440.0", "in_vain_CHF": ""},
        {"month": "2025-05", "in_vain_EUR": "", "in_vain_CHF": "50.0"},
    ]
    page.page.save_pdf(tmp_path / "vain.pdf")
    assert (tmp_path / "vain.pdf").read_bytes()[:5] == b"%PDF-"
    plain = (tmp_path / "vain.pdf").stat().st_size
    ask(running, page, "maps")
    page.page.save_pdf(tmp_path / "maps.pdf")
    assert plain != (tmp_path / "maps.pdf").stat().st_size

    ask(running, page, "vain")
    page.page.table.selectRow(1)
    QTest.keyClick(page.page.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.clipboard().text() == "Month\tIn vain\nMay 2025\t50 CHF"


def test_narrowing_widening_and_what_is_kept(start: Start, place: str) -> None:
    running = start(place)
    page = screen_of(running)
    assert page.answer is not None
    every = page.answer.found.asked
    page.narrow_button.click()
    assert page.right.currentWidget() is page.filters
    system = page.filters.system
    assert [system.itemData(n) for n in range(system.count())] == ["", "brakes_hydraulic", "hvac_cooling"]
    system.setCurrentIndex(2)
    system.activated.emit(2)
    running.rest()
    assert page.answer.found.asked == 24 < every
    page.filters.done_button.click()
    (chip,) = page.chips
    assert "Air conditioning" in chip.accessibleName()
    QTest.mouseClick(chip, Qt.MouseButton.LeftButton)
    running.rest()
    assert page.answer.found.asked == every
    assert not page.chips

    page.filters.outside.buttons["none"].click()
    page.filters.switch.buttons["on"].click()
    running.rest()
    now = running.program.preferences.now
    assert (now.ledger_outside, now.learned) == ("none", True)
    assert page.question.outside == "none"
    ask(running, page, "learned")
    assert page.page.sheet is not None
    assert "Switched on" in page.page.sheet.notes[0]


def test_a_saved_case_is_counted_at_once(start: Start, place: str) -> None:
    running = start(place)
    page = screen_of(running)
    assert page.answer is not None
    before = page.answer.found.asked
    from kbapp.app.jot import Jot

    running.program.book.change(page, lambda session: session.jot(Jot("squeals", "", "", "", "")))
    running.until(lambda: page.answer is not None and page.answer.found.asked == before + 1, "counted again")


def test_a_case_is_retraced_line_by_line(start: Start, place: str) -> None:
    running = start(place)
    page = screen_of(running)
    ask(running, page, "retrace")
    assert len(page.retraced.lines.rows) == 24, "only closed cases with a map"
    QTest.keyClick(page.retraced.list, Qt.Key.Key_Return)
    running.rest()
    sheet = page.page.sheet
    assert sheet is not None
    assert sheet.key == "retrace"
    done = [row[3].text for row in sheet.rows]
    assert done[0].startswith("Thermostat: fitted")
    assert done[-1].startswith("Water pump: fitted")
    assert any("expected to take" in note for note in sheet.notes)
    assert any("Assumed" in note or "assumed" in note for note in sheet.notes)


def test_a_lesson_is_played_by_keyboard_and_compared(start: Start, place: str) -> None:
    running = start(place)
    running.activate()
    page = screen_of(running)
    ask(running, page, "lesson")
    page.taught.list.setFocus()
    place_of = next(n for n, row in enumerate(page.taught.lines.rows) if "overheats" in row.title)
    page.taught.list.pick(place_of)
    running.press(Qt.Key.Key_Return)
    running.rest()
    lesson = page.lesson
    assert page.right.currentWidget() is lesson
    told = [row.title for row in lesson.story.lines.rows]
    assert told[0] == "overheats in traffic"
    assert not any("Water pump" in title for title in told), "the answer is hidden"
    assert lesson.choices.hasFocus()
    running.press(Qt.Key.Key_Return)  # the first test on offer
    assert lesson.lesson is not None
    assert len(lesson.lesson.moves) == 1
    lesson.known_button.click()
    assert sum("%" in row.title for row in lesson.story.lines.rows) == len(lesson.lesson.known())
    keys = [row.key for row in lesson.choices.lines.rows]
    wrong = next(n for n, key in enumerate(keys) if key.startswith("part:thermostat"))
    lesson.choices.pick(wrong)
    lesson.do_button.click()
    assert "nothing changed" in lesson.story.lines.rows[len(lesson.lesson.triage) + 2].remark
    for _turn in range(20):
        if page.right.currentWidget() is not lesson:
            break
        offers = [row.key for row in lesson.choices.lines.rows]
        right = next(n for n, key in enumerate(offers) if key.startswith("part:flow/"))
        lesson.choices.pick(right)
        lesson.do_button.click()
        running.rest()
    assert page.page.sheet is not None
    assert page.page.sheet.key == "lesson"
    assert [row[0].text for row in page.page.sheet.rows] == [
        "You",
        "The record, from there on",
        "The advice, as expected",
    ]
    assert page.page.notes.note is not None
    assert "You found it." in page.page.notes.note.text()


def test_a_lesson_can_be_given_up_and_left(start: Start, practice: Path) -> None:
    running = start()
    page = screen_of(running)
    ask(running, page, "lesson")
    QTest.keyClick(page.taught.list, Qt.Key.Key_Return)
    running.rest()
    page.lesson.answer_button.click()
    running.rest()
    assert page.page.notes.note is not None
    assert page.page.notes.note.text().startswith("The answer")
    ask(running, page, "parts")
    ask(running, page, "lesson")
    QTest.keyClick(page.taught.list, Qt.Key.Key_Return)
    running.rest()
    assert page.leave()
    assert page.right.currentWidget() is page.taught

    ask(running, page, "comebacks")
    page.page.table.selectRow(0)
    QTest.keyClick(page.page.table, Qt.Key.Key_Return)
    running.rest()
    assert running.window.current == "look"


def test_an_empty_book_says_so_on_every_page(start: Start, tmp_path: Path) -> None:
    from tests.ledger.books import book_of

    book_of(tmp_path / "empty").close()
    running = start(str(tmp_path / "empty" / "book"))
    page = screen_of(running)
    for line in page.lines.rows:
        ask(running, page, line.key)
        shown = page.right.currentWidget()
        if shown is page.page and line.key != "maps":
            assert page.page.notes.note is not None, line.key
            assert page.page.chart_view is None
            assert not page.page.csv_button.isEnabled()
    assert page.retraced.notes.note is not None
    assert page.taught.notes.note is not None


def test_the_charts_library_is_loaded_only_with_a_chart() -> None:
    code = "import sys, kbapp.desktop.ledger.screen, kbapp.desktop.program; print('pyqtgraph' in sys.modules)"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.strip() == "False"


@pytest.mark.parametrize(
    ("size", "room"),
    [("desk", (1280, 800)), ("desk", (1024, 700)), ("bay", (1024, 700)), ("across", (1024, 700))],
    ids=["desk-1280", "desk-1024", "bay-1024", "across-1024"],
)
def test_names_targets_and_translations(
    start: Start, place: str, monkeypatch: pytest.MonkeyPatch, size: SizeName, room: tuple[int, int]
) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    running = start(place, width=room[0], height=room[1])
    running.program.resize(size)
    page = screen_of(running)
    assert running.window.width() == room[0], "the window is wider than it was asked to be"
    least = SIZES[size].row
    wrong: list[str] = []

    def check(state: str) -> None:
        running.rest()
        faults = [*nameless(running.window), *too_small(running.window, least), *cut_off(running.window)]
        faults += [fault for fault in untranslated(running.window) if not fault.endswith(BOOK_WORDS)]
        wrong.extend(f"{state}: {fault}" for fault in faults)

    check("list")
    for key in ("months", "parts", "comebacks", "retrace", "lesson"):
        ask(running, page, key)
        page._enter()
        check(key)
    page._show_filters()
    check("filters")
    page.filters._ask(system="hvac_cooling")
    check("narrowed")
    page.leave()
    ask(running, page, "lesson")
    page._teach(page.taught.lines.rows[0].key)
    check("playing")
    page.lesson._give_up()
    check("compared")
    assert wrong == [], "\n".join(wrong)
