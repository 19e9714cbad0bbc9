"""The first day, from first run to closing and opening again: once by mouse, once by keyboard alone."""

from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication, QWidget

from kbapp.app.places import places
from kbapp.app.session import Session
from kbapp.desktop.settings.welcome import Welcome
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.facets import FacetHead, FacetValue
from tests.desktop.conftest import Start
from tests.desktop.running import Running

Key, Ctrl = Qt.Key, Qt.KeyboardModifier.ControlModifier
JOTTED = (
    "Hums like a bee above 90",
    "Velmond Ardane V20D 2020",
    "tyres, no change",
    "gone on the lift",
    "rear bearing",
)


def _press(widget: QWidget) -> None:
    QTest.mouseClick(widget, Qt.MouseButton.LeftButton)


def _press_line(view: QAbstractItemView, row: int) -> None:
    at = view.visualRect(view.model().index(row, 0)).center()
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(at))


def _numbers(running: Running) -> list[str]:
    return [row.hit.number for row in running.look.results.model.rows]


def _found_again(running: Running) -> None:
    running.until(lambda: bool(running.look.results.model.rows), "found")
    assert running.look.results.model.rows[0].hit.concern == JOTTED[0]


def _reopened(running: Running, start: Start) -> None:
    """Closes the program and opens it again: the screen is there, and the jot is found."""
    running.rest()
    running.program.quit()
    running.program.close()
    again = start("practice", screen="", first_run=True)
    assert again.window.current == "look"
    again.activate()
    again.ask("hums like a bee")
    _found_again(again)
    session = Session.open("practice", follow=False)
    assert session.drafts().all() == ()
    session.close()


def test_by_mouse(start: Start, practice: Path) -> None:
    running = start(str(places().own_book), first_run=True)
    running.activate()
    welcome = running.screen(Welcome, "welcome")
    _press(welcome.choices.theme.choice.buttons["dark"])
    assert running.program.theme.choice == "dark"
    _press(welcome.practice_button)
    running.until(lambda: running.program.book.location == "practice", "the practice book is open")
    running.until(lambda: running.program.book.index is not None and running.program.book.index.ready, "indexed")
    running.rest()
    assert running.window.current == "bench"
    _press(running.window.index.tab("look"))
    look = running.look
    _press(look.question.edit)
    running.type("gets hot sitting in traffic")
    _press(look.question.look_button)
    running.rest()
    before = len(_numbers(running))
    _press(look.narrow.values("state")["repaired"])
    running.rest()
    assert 0 < len(_numbers(running)) < before
    _press(look.narrow.clear_button)
    running.rest()
    _press_line(look.results.list, 1)
    running.rest()
    assert look.reading.view is not None
    assert look.reading.view.case.number == _numbers(running)[1]
    _press(running.window.index.tab("jot"))
    for name, words in zip(running.jot.form.edits, JOTTED, strict=True):
        _press(running.jot.form.edits[name].viewport())
        running.type(words)
    _press(running.jot.record_button)
    running.until(lambda: running.jot.notes.note is not None, "recorded")
    running.rest()
    note = running.jot.notes.note
    assert note is not None
    _press(note.findChildren(Button)[0])
    running.rest()
    assert running.window.current == "look"
    _found_again(running)
    _reopened(running, start)


def _tab_to(running: Running, kind: type[QWidget], words: str) -> None:
    for _step in range(120):
        focus = QApplication.focusWidget()
        if isinstance(focus, kind) and words in f"{focus.accessibleName()} {getattr(focus, 'text', str)()}":
            return
        running.press(Key.Key_Tab)
    raise AssertionError(f"Tab never comes to {words}")


def test_by_keyboard_alone(start: Start, practice: Path) -> None:
    running = start(str(places().own_book), first_run=True)
    running.activate()
    running.press(Key.Key_Right)
    running.press(Key.Key_Space)
    assert running.program.theme.size == "bay"
    running.press(Key.Key_1, Ctrl | Qt.KeyboardModifier.AltModifier)
    _tab_to(running, Button, "Open the practice book")
    running.press(Key.Key_Space)
    running.until(lambda: running.program.book.location == "practice", "the practice book is open")
    running.until(lambda: running.program.book.index is not None and running.program.book.index.ready, "indexed")
    running.rest()
    running.press(Key.Key_F, Ctrl)
    running.type("gets hot sitting in traffic")
    running.press(Key.Key_Return)
    running.rest()
    before = len(_numbers(running))
    running.press(Key.Key_B, Ctrl)
    _tab_to(running, FacetHead, "State")
    _tab_to(running, FacetValue, "Repaired")
    running.press(Key.Key_Space)
    running.rest()
    assert 0 < len(_numbers(running)) < before
    running.press(Key.Key_Space)
    running.rest()
    running.press(Key.Key_L, Ctrl)
    read = running.look.reading.view
    running.press(Key.Key_Down, Ctrl)
    running.rest()
    view, current = running.look.reading.view, running.look.results.current
    assert view is not None
    assert current is not None
    assert view.case.number == current.number
    assert view != read
    running.press(Key.Key_J, Ctrl)
    for words in JOTTED:
        running.type(words)
        running.press(Key.Key_Return)
    running.press(Key.Key_Return, Ctrl)
    running.until(lambda: running.jot.notes.note is not None, "recorded")
    running.rest()
    running.press(Key.Key_F, Ctrl)
    running.press(Key.Key_A, Ctrl)
    running.type("hums like a bee")
    running.press(Key.Key_Return)
    running.rest()
    _found_again(running)
    _reopened(running, start)
