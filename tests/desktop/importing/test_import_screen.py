"""Old records: columns mapped, faults listed, brought in as one, taken out again as one."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from kbapp.app.session import Session
from kbapp.desktop.importing.screen import ImportScreen
from kbapp.desktop.widgets.buttons import Button
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP, Running

Enter = Qt.Key.Key_Return
Ctrl = Qt.KeyboardModifier.ControlModifier
BAD = (
    "Job;What is wrong;Car;Year;Parts fitted;Fault found;Repair;Reg\n"
    "O-17;zebra whistle at idle;Kestrow Lindle;2018;idle valve;vacuum hose split;hose;WL 1\n"
    "O-18;zebra squeal;Kestrow Lindle;twenty;;;;\n"
    "O-19;zebra rattle;Brennick Drovane;2019;;;;WL 3\n"
)
GOOD = BAD.replace("twenty", "2020")
pytestmark = pytest.mark.qt_log_ignore(*POPUP)


@pytest.fixture
def running(start: Start, practice: Path) -> Running:
    made = start()
    made.activate()
    made.window.go("import")
    made.rest()
    return made


@pytest.fixture
def page(running: Running) -> ImportScreen:
    return running.screen(ImportScreen, "import")


def _read(running: Running, page: ImportScreen, path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8")
    page.path.setFocus()
    page.path.clear()
    QTest.keyClicks(page.path, str(path))
    QTest.keyClick(page.path, Enter)
    running.rest()


def _found(words: str) -> list[str]:
    session = Session.open("practice", follow=False)
    try:
        return [row.number for row in session.list_cases() if words in row.concern]
    finally:
        session.close()


def test_a_table_with_faults_then_good_then_taken_out_again(
    running: Running, page: ImportScreen, tmp_path: Path
) -> None:
    _read(running, page, tmp_path / "old.csv", BAD)
    assert set(page.columns.mapping()) == {"number", "vehicle", "model_year", "parts_tried", "cause", "fixed", "plate"}
    assert not page.record_button.isEnabled()
    assert page.columns.picks["What is wrong"].hasFocus() or page.columns.picks["Job"].hasFocus()
    pick = page.columns.picks["What is wrong"]
    pick.setFocus()
    running.press(Qt.Key.Key_Down)
    assert pick.value() == "concern"
    running.rest()
    assert [row.title.split(":")[0] for row in page.faults.lines.rows] == ["row 3"]
    assert "twenty" in page.faults.lines.rows[0].title
    assert page.record_button.text() == "Bring 2 in, leave 1 out"
    assert _found("zebra") == [], "nothing is recorded before"
    _read(running, page, tmp_path / "old.csv", GOOD)
    assert page.columns.mapping()["concern"] == "What is wrong", "what was chosen stays"
    assert page.faults.lines.rows == ()
    assert [row.title for row in page.cases.lines.rows] == [
        "O-17  zebra whistle at idle", "O-18  zebra squeal", "O-19  zebra rattle",
    ]  # fmt: skip
    running.press(Enter, Ctrl)
    running.until(lambda: len(_found("zebra")) == 3, "brought in")
    running.rest()
    session = Session.open("practice", follow=False)
    try:
        case = session.case("O-17").case
        assert session.private(case.id).plate == "WL 1"
        assert "WL 1" not in case.model_dump_json()
        assert case.cause is not None
    finally:
        session.close()
    running.window.go("look")
    running.ask("zebra whistle")
    assert running.look.results.model.rows[0].hit.number == "O-17"
    running.window.go("import")
    running.rest()
    assert page.batches.list.lines.rows[0].title.count("3 cases") == 1
    undo = next(b for b in page.notes.findChildren(Button) if b.text() == "Take it out again")
    undo.click()
    running.until(lambda: _found("zebra") == [], "taken out")
    running.rest()
    assert page.notes.note is not None
    assert "3 cases were taken out again" in page.notes.note.text()
    assert not page.batches.undo_button.isEnabled()


def test_a_case_that_was_worked_on_since_stays(running: Running, page: ImportScreen, tmp_path: Path) -> None:
    _read(running, page, tmp_path / "old.csv", "concern\nzebra one\nzebra two\n")
    page.record()
    running.until(lambda: len(_found("zebra")) == 2, "brought in")
    running.rest()
    session = Session.open("practice", author="IK", follow=False)
    try:
        row = next(row for row in session.list_cases() if row.concern == "zebra two")
        view = session.case(row.id)
        session.save(view.case.model_copy(update={"lesson": "kept"}), view.revision)
    finally:
        session.close()
    page.batches.undo_button.click()
    running.until(lambda: len(_found("zebra")) == 1, "the other is taken out")
    running.rest()
    assert page.notes.note is not None
    assert "1 case stays" in page.notes.note.text()


def test_a_column_feeds_one_field_only(running: Running, page: ImportScreen, tmp_path: Path) -> None:
    _read(running, page, tmp_path / "old.csv", "complaint,remarks\nzebra,none\n")
    assert page.columns.mapping() == {"concern": "complaint", "notes": "remarks"}
    page.columns.picks["remarks"].put("concern")
    page.columns.picks["remarks"].done.emit("concern")
    assert page.columns.mapping() == {"concern": "remarks"}


def test_a_number_that_is_taken_is_told_and_nothing_brought_in(
    running: Running, page: ImportScreen, tmp_path: Path
) -> None:
    _read(running, page, tmp_path / "old.csv", "number,concern\n2025-0067,zebra\nO-20,zebra\n")
    page.record()
    running.rest()
    assert page.notes.note is not None
    assert "2025-0067" in page.notes.note.text()
    assert _found("zebra") == []
    assert page.record_button.isEnabled()


@pytest.mark.parametrize("name", ["missing.csv", "picture.csv"])
def test_a_file_that_is_no_table_is_told(running: Running, page: ImportScreen, tmp_path: Path, name: str) -> None:
    (tmp_path / "picture.csv").write_bytes(b"\x89PNG\x00\x00")
    page.path.setFocus()
    QTest.keyClicks(page.path, str(tmp_path / name))
    running.press(Enter)
    running.rest()
    assert page.notes.note is not None
    assert name in page.notes.note.text()


def test_pasted_notes_are_seen_first_and_become_cases(running: Running, page: ImportScreen) -> None:
    page.way.buttons["notes"].click()
    page.text.setPlainText(
        "zebra stalls\nKestrow Lindle 2018\nvalve\nsmoke at hose\nhose\n\nFix: hose\n\nzebra squeals"
    )
    running.until(lambda: len(page.cases.lines.rows) == 2, "seen")
    running.rest()
    assert [row.title.split(":")[0] for row in page.faults.lines.rows] == ["note 2"]
    assert _found("zebra") == []
    page.record_button.click()
    running.until(lambda: len(_found("zebra")) == 2, "brought in")
    running.rest()
    assert page.text.toPlainText() == ""
