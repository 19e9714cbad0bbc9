"""Settings and first run in a real window."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kbapp.app.kit import COMMON_KIT
from kbapp.app.session import Session
from kbapp.app.settings import Settings, read_settings
from kbapp.desktop.settings.screen import SettingsScreen
from kbapp.desktop.settings.welcome import Welcome
from kbapp.desktop.widgets.form import EntryRow
from kbapp.records.case import Shop
from kbapp.store.book import create_book
from tests.desktop.conftest import Start
from tests.desktop.running import Running

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
LEFT = Qt.MouseButton.LeftButton
Ctrl = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def book(tmp_path: Path) -> str:
    where = str(tmp_path / "book")
    create_book(where, SHOP).close()
    session = Session.open(where, follow=False)
    session.prepare_index()
    session.close()
    return where


def _kept(tmp_path: Path) -> Settings:
    settings, damaged = read_settings(tmp_path / "home" / "config" / "settings.json")
    assert not damaged
    return settings


def _settings(running: Running) -> SettingsScreen:
    running.window.go("settings")
    return running.screen(SettingsScreen, "settings")


def _enter(running: Running, row: EntryRow, text: str) -> None:
    row.edit.setFocus()
    row.edit.selectAll()
    running.type(text)
    running.press(Qt.Key.Key_Return)
    running.rest()


def test_choices_hold_at_once_and_are_kept(start: Start, book: str, tmp_path: Path) -> None:
    running = start(book)
    page = _settings(running)
    for choice, key in ((page.choices.size, "bay"), (page.choices.theme, "dark"), (page.choices.units, "us")):
        QTest.mouseClick(choice.choice.buttons[key], LEFT)
    running.rest()
    assert (running.program.theme.size, running.program.theme.choice) == ("bay", "dark")
    kept = _kept(tmp_path)
    assert (kept.size, kept.theme, kept.units) == ("bay", "dark", "us")
    assert page.head.kept.text().startswith("Recorded")


def test_what_another_way_changes_is_shown(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    page = _settings(running)
    running.press(Qt.Key.Key_3, Ctrl | Qt.KeyboardModifier.AltModifier)
    assert page.choices.size.choice.buttons["across"].isChecked()


def test_a_faulty_entry_says_what_to_type_and_changes_nothing(start: Start, book: str, tmp_path: Path) -> None:
    running = start(book)
    running.activate()
    page = _settings(running)
    _enter(running, page.labour, "a lot")
    assert "such as 120" in page.labour.below.text()
    assert page.labour.edit.property("bad")
    assert running.program.preferences.now.labour_rate == 120
    _enter(running, page.labour, "95,50")
    assert not page.labour.edit.property("bad")
    _enter(running, page.currency, "usd")
    _enter(running, page.limit, "400")
    kept = _kept(tmp_path)
    assert (kept.labour_rate, kept.currency, kept.guard_cost_limit) == (95.5, "USD", 400)


def test_the_name_of_the_shop_goes_into_the_book(start: Start, book: str, tmp_path: Path) -> None:
    running = start(book)
    running.activate()
    page = _settings(running)
    assert page.shop.edit.text() == "Weir Lane Diagnostics"
    _enter(running, page.shop, "Weir Lane North")
    assert "Weir Lane North" in running.window.index._book.text()
    session = Session.open(book, follow=False)
    assert (session.info.shop.name, session.info.shop.id) == ("Weir Lane North", SHOP.id)
    session.close()
    assert _kept(tmp_path).shop_name == "Weir Lane North"


def test_the_practice_book_keeps_its_shop(start: Start, practice: Path, tmp_path: Path) -> None:
    running = start()
    running.activate()
    _enter(running, _settings(running).shop, "Weir Lane North")
    assert running.program.book.info is not None
    assert running.program.book.info.shop.name == "Weir Lane Diagnostics"
    assert _kept(tmp_path).shop_name == "Weir Lane North"


def test_initials_sign_what_is_recorded_from_now_on(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    _enter(running, _settings(running).initials, "TN")
    running.window.go("jot")
    running.jot.form.edits["concern"].setPlainText("squeals")
    running.jot.record()
    running.until(lambda: running.jot.notes.note is not None, "recorded")
    session = Session.open(book, follow=False)
    assert session.case(session.list_cases()[0].id).author == "TN"
    session.close()


def test_settings_that_cannot_be_read_are_said_and_the_defaults_hold(start: Start, book: str, tmp_path: Path) -> None:
    path = tmp_path / "home" / "config" / "settings.json"
    path.parent.mkdir(parents=True)
    path.write_text("{", encoding="utf-8")
    running = start(book, screen="")
    note = running.window.screen_of(running.window.current).notes.note
    assert note is not None
    assert "cannot be read" in note.text()


# -- first run


def test_the_first_run_is_asked_once_and_left_with_one_key(start: Start, book: str, tmp_path: Path) -> None:
    running = start(book, first_run=True)
    running.activate()
    assert running.window.current == "welcome"
    running.press(Qt.Key.Key_Escape)
    assert running.window.current == "bench"
    running.rest()
    assert _kept(tmp_path) == Settings()
    running.window.close()
    again = start(book, screen="", first_run=True)
    assert again.window.current == "bench"


def test_who_asks_for_the_practice_book_is_asked_nothing_before_it(start: Start, practice: Path) -> None:
    running = start("practice", screen="", first_run=True)
    assert running.window.current == "bench"
    assert running.program.preferences.first_run, "a book of one's own still asks"


def test_every_way_out_of_the_first_run_ends_it(start: Start, book: str, tmp_path: Path) -> None:
    running = start(book, first_run=True)
    running.activate()
    running.press(Qt.Key.Key_L, Ctrl)
    assert running.window.current == "look"
    assert QApplication.focusWidget() is running.look.question.edit
    running.rest()
    assert (tmp_path / "home" / "config" / "settings.json").exists()


def test_kit_ticked_in_the_first_run_lies_on_the_shelf_of_the_book(start: Start, book: str) -> None:
    running = start(book, first_run=True)
    running.activate()
    page = running.screen(Welcome, "welcome")
    for name in ("multimeter", "smoke machine"):
        QTest.mouseClick(page.kit.buttons[name], LEFT)
    running.rest()
    session = Session.open(book, follow=False)
    assert session.kit().missing() == frozenset(COMMON_KIT) - {"multimeter", "smoke machine"}
    session.close()


def test_the_first_run_leads_to_a_concern_or_to_the_practice_book(start: Start, practice: Path, book: str) -> None:
    running = start(book, first_run=True)
    page = running.screen(Welcome, "welcome")
    QTest.mouseClick(page.start_button, LEFT)
    assert running.window.current in ("jot", "triage")
    running.window.go("welcome")
    QTest.mouseClick(page.practice_button, LEFT)
    running.until(lambda: running.program.book.location == "practice", "the practice book is open")
    running.rest()
    assert running.window.practice_bar.isVisible()
