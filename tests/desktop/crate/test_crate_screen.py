"""The Case Crate in a real window on two real books: made in one shop, read in the other, undone."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget

from kbapp.desktop.crate.row_list import RowList
from kbapp.desktop.crate.screen import CrateScreen
from kbapp.desktop.widgets.buttons import Button
from tests.desktop.conftest import Start
from tests.desktop.running import Running
from tests.packs.world import COPPERHILL, PRIVATE, WEIR_LANE, Side, case

Ctrl = Qt.KeyboardModifier.ControlModifier
LEFT = Qt.MouseButton.LeftButton


class Crate:
    """The screen and the hands that use it."""

    def __init__(self, running: Running) -> None:
        self.running = running
        self.screen = running.screen(CrateScreen, "crate")
        running.rest()

    def press(self, button: QWidget) -> None:
        assert button.isVisible()
        assert button.isEnabled()
        QTest.mouseClick(button, LEFT)
        self.running.rest()

    def part(self, name: str) -> None:
        self.press(self.screen.choice.buttons[name])

    def choose_file(self, path: Path) -> None:
        dialog = self.screen.findChild(QFileDialog)
        assert dialog is not None
        dialog.fileSelected.emit(str(path))
        dialog.reject()
        self.running.rest()

    def note(self) -> str:
        note = self.screen.notes.note
        return note.text() if note is not None else ""

    def note_button(self, words: str) -> Button:
        place = self.screen.window().findChildren(Button)
        return next(button for button in place if button.text().startswith(words) and button.isVisible())


def _row(rows: RowList, wanted: Callable[[str], bool]) -> int:
    return next(n for n, row in enumerate(rows.lines.rows) if not row.head and wanted(row.speak()))


def _click(rows: RowList, place: int) -> None:
    index = rows.lines.index(place, 0)
    rows.scrollTo(index)
    QTest.mouseClick(rows.viewport(), LEFT, pos=rows.visualRect(index).center())


@pytest.fixture
def weir(tmp_path: Path) -> Path:
    side = Side(tmp_path / "weir", WEIR_LANE, "IK")
    side.add(case(number="1", notes="Ask Mrs Harrow, 01632 960112, again."), private=PRIVATE)
    side.add(case(number="2"))
    side.book.close()
    return tmp_path / "weir"


@pytest.fixture
def copperhill(tmp_path: Path) -> Path:
    Side(tmp_path / "copperhill", COPPERHILL, "JO").book.close()
    return tmp_path / "copperhill"


@pytest.fixture
def crate(start: Start, weir: Path) -> Crate:
    running = start(str(weir), screen="crate")
    running.activate()
    return Crate(running)


def _open(crate: Crate, book: Path) -> Crate:
    done: list[bool] = []
    running = crate.running
    running.program.book.switch(str(book), lambda: done.append(True), lambda error: pytest.fail(str(error)))
    running.until(lambda: bool(done), "the other book is open")
    running.rest()
    running.window.go("crate")
    return Crate(running)


def test_a_pack_goes_from_book_to_book_and_back_out(crate: Crate, copperhill: Path, tmp_path: Path) -> None:
    make, out = crate.screen.make, tmp_path / "for-copperhill.zip"
    assert len(make.choosing.list.lines.rows) == 2
    assert not make.write_button.isEnabled()
    assert "Look through the removals first" in make.reason.text()
    make.choosing.title.setFocus()
    crate.running.type("Two pumps")
    crate.press(make.review_button)
    spoken = [row.speak() for row in make.review.list.lines.rows]
    assert any("01632 960112" in words and "becomes «[phone]»" in words for words in spoken)
    assert any(row.head and row.remark.startswith("1 removal") for row in make.review.list.lines.rows)
    place = _row(make.review.list, lambda words: "Harrow" in words and words.startswith("Name"))
    make.review.list.setFocus()
    make.review.list.pick(place)
    crate.running.press(Qt.Key.Key_Space)
    crate.running.rest()
    assert make.review.list.lines.rows[place].cut is not None
    assert make.review.kept == {make.review.list.lines.rows[place].key}
    assert make.review.keep_button.text() == "Blank it"
    crate.press(make.write_button)
    crate.choose_file(out)
    assert out.exists()
    assert "Wrote 2 cases to for-copperhill.zip" in crate.note()
    assert b"Harrow" in out.read_bytes()
    assert b"960112" not in out.read_bytes()
    other = _open(crate, copperhill)
    other.part("read")
    read = other.screen.read
    other.press(read.choose_button)
    other.choose_file(out)
    assert [row.mark.word for row in read.list.lines.rows if row.mark] == ["New", "New"]
    assert read.trust.note is not None
    assert "not compared yet" in read.trust.note.text()
    other.press(other.note_button("The figures agree"))
    assert "a key you trust" in read.trust.note.text()
    other.press(read.read_button)
    assert "Took in 2 cases." in other.note()
    assert other.running.program.book.cases == 2
    other.press(other.note_button("Read the first case"))
    other.running.window.go("crate")
    other.part("history")
    history = other.screen.history
    assert history.list.current is not None
    assert "Two pumps" in history.list.current.title
    history.list.setFocus()
    other.press(history.undo_button)
    other.running.rest()
    assert "Taken out of view: 2 cases." in other.note()
    assert other.running.program.book.cases == 0
    assert not history.undo_button.isEnabled()
    assert "undone already" in history.reason.text()


def test_write_waits_for_the_review_of_exactly_this(crate: Crate) -> None:
    make = crate.screen.make
    crate.press(make.review_button)
    assert make.write_button.isEnabled()
    crate.running.press(Qt.Key.Key_Escape)
    _click(make.choosing.list, 0)
    assert not make.write_button.isEnabled()
    assert "changed since" in make.reason.text()
    _click(make.choosing.list, 0)
    assert make.write_button.isEnabled()
    crate.press(make.choosing.none_button)
    assert (
        make.reason.text() == "Cases or title changed since you looked through the removals. Look through them again."
    )
    assert not make.review_button.isEnabled()


def test_a_filter_narrows_the_cases_and_nothing_is_a_note(crate: Crate) -> None:
    make = crate.screen.make
    make.choosing.state.setCurrentIndex(make.choosing.state.findData("withdrawn"))
    make.choosing.state.done.emit("withdrawn")
    crate.running.rest()
    assert make.choosing.empty.note is not None
    assert "No case is like that" in make.choosing.empty.note.text()
    assert make.reason.text() == "No case is ticked."


def test_by_keyboard_alone(crate: Crate) -> None:
    make = crate.screen.make
    make.choosing.list.setFocus()
    crate.running.press(Qt.Key.Key_Space)
    assert make.choosing.ticked == 1
    crate.running.press(Qt.Key.Key_Return, Ctrl)
    crate.running.rest()
    assert QApplication.focusWidget() is make.review.list
    assert make.review.review is not None
    assert len(make.review.review.cases) == 1
    crate.running.press(Qt.Key.Key_Return)
    crate.running.rest()
    assert len(make.review.kept) == 1
    crate.running.press(Qt.Key.Key_Return)
    crate.running.rest()
    assert make.review.kept == frozenset()
    assert make.write_button.isEnabled()
    crate.running.press(Qt.Key.Key_Return, Ctrl)
    dialog = crate.screen.findChild(QFileDialog)
    assert dialog is not None
    dialog.reject()


def test_a_damaged_pack_is_refused_in_one_sentence(crate: Crate, tmp_path: Path) -> None:
    side = Side(tmp_path / "third", COPPERHILL, "PB")
    side.add(case(number="9"))
    pack = side.pack(tmp_path / "theirs.zip").path
    side.book.close()
    data = bytearray(pack.read_bytes())
    data[data.index(b"Temperature") + 2] ^= 1
    pack.write_bytes(bytes(data))
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(pack))])
    crate.screen.dropEvent(
        QDropEvent(QPointF(10, 10), Qt.DropAction.CopyAction, mime, LEFT, Qt.KeyboardModifier.NoModifier)
    )
    crate.running.rest()
    assert crate.screen.part == "read"
    assert "damaged or was altered" in crate.note()
    assert crate.note().count("theirs.zip") == 1
    assert not crate.screen.read.read_button.isEnabled()
    assert crate.screen.read.list.lines.rows == ()


def test_the_key_is_protected_and_the_passphrase_asked_for(crate: Crate, tmp_path: Path) -> None:
    screen = crate.screen
    crate.part("key")
    crate.press(screen.key.make_button)
    assert screen.key.shown.note is not None
    assert "Fingerprint" in screen.key.shown.note.text()
    screen.key.new.setText("a long sentence")
    crate.press(screen.key.protect_button)
    assert screen.key.again_box.said() == "Write the same passphrase twice."
    screen.key.again.setText("a long sentence")
    crate.press(screen.key.protect_button)
    assert screen.key.state.sealed
    crate.press(screen.key.backup_button)
    crate.choose_file(tmp_path / "key.json")
    assert (tmp_path / "key.json").exists()
    crate.press(screen.key.renew_button)
    assert "lost by this" in crate.note()
    crate.press(crate.note_button("Leave it"))
    crate.part("make")
    crate.press(screen.make.review_button)
    assert screen.make.secret.isVisible()
    screen.make.secret.setText("wrong")
    crate.press(screen.make.write_button)
    crate.choose_file(tmp_path / "a.zip")
    assert "passphrase does not open" in crate.note()
    screen.make.secret.setText("a long sentence")
    crate.press(screen.make.write_button)
    crate.choose_file(tmp_path / "a.zip")
    assert (tmp_path / "a.zip").exists()


def test_a_clash_is_settled_field_by_field(crate: Crate, weir: Path, tmp_path: Path) -> None:
    from kbapp.app.session import Session
    from kbapp.store.book import open_book

    other = Side(tmp_path / "third", COPPERHILL, "PB")
    book = open_book(str(weir), author="IK")
    ours = next(row.id for row in book.list_cases() if row.number == "2")
    changed = book.case(ours).case.model_copy(update={"lesson": "Check the shaft first."})
    book.close()
    other.add(changed)
    pack = other.pack(tmp_path / "theirs.zip").path
    other.book.close()
    screen = crate.screen
    screen._take_path(pack)
    crate.running.rest()
    assert [row.mark.word for row in screen.read.list.lines.rows if row.mark] == ["Clash"]
    assert "nothing in it to take" in screen.read.reason.text()
    crate.press(screen.read.clash_button)
    rows = screen.read.clash.list.lines.rows
    place = next(n for n, row in enumerate(rows) if row.key == "lesson")
    assert rows[place].sides == ("nothing", "Check the shaft first.")
    _click(screen.read.clash.list, place)
    crate.press(screen.read.clash.back_button)
    crate.press(screen.read.read_button)
    session = Session.open(str(weir), author="IK", follow=False)
    assert session.case(ours).case.lesson == "Check the shaft first."
    session.close()


def test_the_practice_book_says_one_sentence(start: Start, practice: Path) -> None:
    crate = Crate(start(screen="crate"))
    assert crate.screen.practice.isVisible()
    assert "neither makes nor takes packs" in crate.screen.practice.text()
    assert not crate.screen.stack.isVisible()
