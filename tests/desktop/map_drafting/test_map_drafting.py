"""Map Drafting in a real window, by keyboard and mouse."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kbapp.app.drafting import Piece
from kbapp.app.session import Session
from kbapp.desktop.forms.chips_field import ChipsField
from kbapp.desktop.forms.suggest_edit import LineEdit
from kbapp.desktop.map_drafting.screen import MapDrafting
from kbapp.desktop.theme.tokens import SIZES, SizeName
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.records.case import Shop
from kbapp.records.section_map import SectionMap
from kbapp.store.book import create_book
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP, Running
from tests.desktop.walker import faults

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
pytestmark = pytest.mark.qt_log_ignore(*POPUP)
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def book(tmp_path: Path) -> str:
    where = str(tmp_path / "book")
    create_book(where, SHOP).close()
    session = Session.open(where, follow=False)
    session.prepare_index()
    session.close()
    return where


def _page(running: Running) -> MapDrafting:
    running.window.go("map")
    running.rest()
    return running.screen(MapDrafting, "map")


def _own(book: str) -> dict[str, SectionMap]:
    session = Session.open(book, follow=False)
    own = dict(session.map_shelf().own())
    session.close()
    return own


def _edit(page: MapDrafting, name: str) -> LineEdit:
    assert page.editor.page is not None
    return next(edit for edit in page.editor.page.findChildren(LineEdit) if edit.accessibleName() == name)


def _write(running: Running, page: MapDrafting, name: str, text: str) -> None:
    edit = _edit(page, name)
    edit.setFocus()
    edit.selectAll()
    running.type(text)


def _copy(running: Running, page: MapDrafting, map_id: str, family: str) -> None:
    rows = page.shelf.list.lines.rows
    page.shelf.list.pick(next(n for n, row in enumerate(rows) if row.key == map_id))
    page.shelf.family.setFocus()
    running.type(family)
    QTest.mouseClick(page.shelf.copy_button, LEFT)
    running.rest()


def test_an_empty_map_is_drawn_by_keyboard_until_nothing_is_wrong(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    page = _page(running)
    page.shelf.title.setFocus()
    running.type("Tail lift does not lower")
    running.press(Qt.Key.Key_Return)
    running.rest()
    assert page.faces.currentWidget() is page.editor
    assert not page.save_button.isEnabled()
    assert any("Sections" in row.words for row in page.editor.todo.lines.rows)
    for n, (name, often) in enumerate((("Valve and its feed", "often"), ("Cylinder", "12"))):
        QTest.mouseClick(page.editor.section_button, LEFT)
        assert page.editor.piece == Piece("section", n)
        _write(running, page, "Name", name)
        _write(running, page, "How often the fault lies here", often)
    QTest.mouseClick(page.editor.test_button, LEFT)
    assert any("outcome 1, Name: is still blank" in row.words for row in page.editor.todo.lines.rows)
    _write(running, page, "Name", "Feed under load")
    _write(running, page, "Outcome 1", "below the limit")
    _write(running, page, "Outcome 2", "holds")
    assert page.editor.page is not None
    points = next(c for c in page.editor.page.findChildren(ChipsField) if c.accessibleName() == "Outcome 1 points to")
    points.edit.setFocus()
    running.type("Valve and its feed")
    running.press(Qt.Key.Key_Return)
    assert not any(row.wrong for row in page.editor.todo.lines.rows)
    QTest.mouseClick(page.save_button, LEFT)
    running.rest()
    made = _own(book)["tail-lift-does-not-lower"]
    assert [(section.name, section.prior) for section in made.sections] == [
        ("Valve and its feed", 30),
        ("Cylinder", 12),
    ]
    assert made.tests[0].outcomes[0].points_to == (made.sections[0].id,)
    assert made.version == 1
    assert not page.save_button.isEnabled(), "nothing new to save"


def test_a_copy_is_changed_and_saved_in_versions(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    page = _page(running)
    _copy(running, page, "misfire", "Drovane")
    page.save()
    running.rest()
    page.editor.open_piece(Piece("section", 0))
    assert page.editor.page is not None
    parts = next(e for e in page.editor.page.findChildren(RuledEdit) if e.accessibleName() == "Parts")
    parts.setFocus()
    parts.setPlainText(parts.toPlainText() + "\nConnector; 12,5; ten")
    assert any("part" in row.words and row.wrong for row in page.editor.todo.lines.rows)
    parts.setPlainText(parts.toPlainText().replace("ten", "10"))
    assert not any(row.wrong for row in page.editor.todo.lines.rows)
    page.save()
    running.rest()
    own = _own(book)["misfire-drovane"]
    assert (own.version, own.families) == (2, ("Drovane",))
    assert (own.sections[0].parts[-1].name, own.sections[0].parts[-1].cost) == ("Connector", 12.5)
    running.press(Qt.Key.Key_Escape)
    running.rest()
    assert page.shelf.current is not None
    assert page.shelf.current.id == "misfire-drovane"
    page.shelf.off_button.click()
    running.rest()
    assert _own(book) == {}
    assert page.notes.note is not None


def test_steps_are_taken_back_and_a_fault_leads_to_its_piece(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    page = _page(running)
    _copy(running, page, "misfire", "")
    before = len(page.editor.outline.lines.rows)
    page.editor.open_piece(Piece("section", 1))
    QTest.mouseClick(page.editor.remove_button, LEFT)
    assert len(page.editor.outline.lines.rows) == before - 1
    page.undo()
    assert len(page.editor.outline.lines.rows) == before
    page.editor.open_piece(Piece("section", 2))
    _edit(page, "Name").clear()
    page.editor.open_piece(Piece("map"))
    page.editor.todo.setFocus()
    page.editor.todo.pick(0)
    running.press(Qt.Key.Key_Return)
    assert page.editor.piece == Piece("section", 2)
    assert QApplication.focusWidget() is _edit(page, "Name")


def test_a_draft_outlives_the_program(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    page = _page(running)
    _copy(running, page, "misfire", "Hexley")
    page.closing()
    running.rest()
    running.program.quit()
    again = start(book)
    again.activate()
    other = _page(again)
    again.until(lambda: other.notes.note is not None, "the draft is offered")
    note = other.notes.note
    assert note is not None
    assert "Hexley" in note.text()
    note._buttons[0].click()  # type: ignore[attr-defined]
    assert other.editor.draft is not None
    assert other.editor.draft.document["id"] == "misfire-hexley"


def test_a_dry_run_moves_the_shares_until_the_cause_is_isolated(start: Start, book: str) -> None:
    running = start(book)
    running.activate()
    page = _page(running)
    _copy(running, page, "engine-overheating", "")
    QTest.mouseClick(page.try_button, LEFT)
    running.rest()
    dry = page.dry
    assert dry.run is not None
    first = dry.shares.rows
    dry.tests.setFocus()
    for _test in range(20):
        assert dry.standing is not None
        if dry.standing.isolated or dry.standing.exhausted:
            break
        running.press(Qt.Key.Key_Return)
        running.rest()
    assert dry.standing is not None
    assert dry.standing.isolated
    assert page.notes.note is None
    assert dry.notes.note is not None
    assert "The map isolates it" in dry.notes.note.text()
    assert dry.shares.rows != first
    page.undo()
    running.rest()
    assert len(dry.standing.answered) >= 0
    QTest.mouseClick(dry.draw_button, LEFT)
    running.rest()
    assert dry.notes.note is not None
    assert "hidden cause" in dry.notes.note.text()
    QTest.mouseClick(dry.outcome_buttons[0], LEFT)
    running.rest()
    assert len(dry.standing.answered) == 1
    running.press(Qt.Key.Key_Escape)
    assert page.faces.currentWidget() is page.editor


def test_the_card_is_written_from_the_page_of_a_map(start: Start, book: str, tmp_path: Path) -> None:
    running = start(book)
    running.activate()
    page = _page(running)
    assert page.shelf.current is not None
    page.write_card(tmp_path / "card.pdf", page.shelf.current, "")
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF")
    page.write_card(tmp_path / "none" / "card.pdf", page.shelf.current, "")
    assert page.notes.note is not None
    assert "cannot be written" in page.notes.note.text() or "card.pdf" in page.notes.note.text()


@pytest.mark.parametrize(
    ("size", "room"), [("desk", (1280, 800)), ("desk", (1024, 700)), ("bay", (1280, 800)), ("across", (1280, 1024))]
)
def test_map_drafting_can_be_used_by_everybody(
    start: Start, practice: Path, monkeypatch: pytest.MonkeyPatch, size: SizeName, room: tuple[int, int]
) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    running = start(width=room[0], height=room[1])
    running.program.resize(size)
    running.activate()
    page = _page(running)
    wrong: list[str] = []

    def check(state: str) -> None:
        running.rest()
        wrong.extend(f"{state}: {fault}" for fault in faults(running.window, SIZES[size].row))

    check("shelf")
    _copy(running, page, "misfire", "Drovane")
    check("map")
    page.editor.open_piece(Piece("section", 0))
    check("section")
    page.editor.open_piece(Piece("test", 0))
    check("test")
    page.editor.add("test")
    check("faults")
    page.undo()
    page.dry_run()
    check("dry run")
    assert wrong == [], "\n".join(wrong)
