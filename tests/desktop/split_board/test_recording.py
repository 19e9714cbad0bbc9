"""Recording tests and parts: comparison of places, missing kit, unable, unclear, free words, what stays on, files."""

import json
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDragEnterEvent, QDropEvent, QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kbapp.app.session import Session
from kbapp.desktop.split_board.board_drafts import KEEP_MS
from kbapp.records.map_document import read_map
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import PartEntry, TestEntry
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP
from tests.desktop.split_board.hands import CASE_ID, Board, overheating

# Pedal travel held wheel by wheel, resolution 1 mm, margin 3 mm. Figures computed with scipy's t quantile [L]:
# difference of the mean from the median of the others ± t(1 − .05/8, 8) · u · sqrt(1.4487/3).
STANDS_OUT = ("6 7 6", "7 6 7", "5 5 6", "14 13 14")
INCONCLUSIVE = ("6 8", "7 6", "5 6", "8 9")
NONE = ("6 6 7", "6 7 6", "6 6 6", "7 6 7")


def _four_wheels() -> SectionMap:
    wheels = ["LF", "RF", "LR", "RR"]
    document = {
        "format": "provebook-map/1",
        "id": "own-four-wheels",
        "title": "Low pedal, by wheel",
        "symptoms": ["low pedal"],
        "sections": [{"id": wheel, "name": f"{wheel} circuit", "prior": 1} for wheel in wheels],
        "not_on_map": 1,
        "tests": [{
            "id": "hold_each", "name": "Hold each wheel", "kind": "block", "repeats": 3, "setup_minutes": 6,
            "run_minutes": 4, "cautions": ["never_on_road"],
            "readings": {"places": wheels, "unit": "mm", "resolution": 1, "margin": 3},
            "outcomes": [
                *({"id": w, "name": f"{w} stands out", "likelihood": {w: 0.9, "*": 0.02}} for w in wheels),
                {"id": "none", "name": "none stands out", "likelihood": dict.fromkeys((*wheels, "*"), 0.02)},
            ],
        }],
    }  # fmt: skip
    for outcome in document["tests"][0]["outcomes"]:  # type: ignore[index]
        rest = outcome["likelihood"]
        if outcome["id"] == "none":
            outcome["likelihood"] = {**dict.fromkeys(wheels, 0.04), "*": 0.92}
        else:
            outcome["likelihood"] = {w: 0.9 if rest.get(w) == 0.9 else 0.02 for w in wheels} | {"*": 0.02}
    return read_map(json.dumps(document).encode()).unwrap("map")


def _low_pedal(board: Board) -> Board:
    case = overheating(with_map=False).model_copy(update={"timeline": ()})
    concern = case.concern.model_copy(update={"text": "Low pedal", "symptoms": (), "system": "brakes_hydraulic"})
    board.put(case.model_copy(update={"concern": concern}), _four_wheels())
    board.page.choose_map()
    board.running.rest()
    chooser = board.page.layout_.chooser
    chooser.list.pick(next(n for n, row in enumerate(chooser.lines.rows) if row.key == "own-four-wheels"))
    board.click(chooser.take_button)
    board.settle()
    return board


def _type_readings(board: Board, rows: tuple[str, ...]) -> None:
    for row, texts in enumerate(rows):
        for repeat, text in enumerate(texts.split()):
            board.page.panel.test.readings.fields[row, repeat].setText(text)


@pytest.mark.parametrize(
    ("rows", "words", "proposed"),
    [
        (STANDS_OUT, "RR stands out: 7.3 ± 1.3 mm from the others, margin 3 mm.", "RR"),
        (INCONCLUSIVE, "Inconclusive: RR is 2.0 ± 3.4 mm from the others, margin 3 mm.", ""),
        (NONE, "None stands out: the largest is RR with 0.3 ± 1.1 mm, margin 3 mm.", "none"),
    ],
)
def test_places_are_compared_while_readings_are_typed(
    start: Start, practice: Path, rows: tuple[str, ...], words: str, proposed: str
) -> None:
    board = _low_pedal(Board(start()))
    board.page.record("test")
    form = board.page.panel.test
    _type_readings(board, rows)
    assert form.peers.isVisible()
    assert form.peers.words()[0].startswith(words)
    assert "".join(name for name, button in form.outcome_buttons.items() if button.isChecked()) == proposed
    if proposed:
        assert "proposed by the readings" in form.outcome_buttons[proposed].accessibleName()
        board.record_outcome(proposed)
        entry = board.case.timeline[0]
        assert isinstance(entry, TestEntry)
        assert entry.outcome == proposed
        assert len(entry.readings) == 12


def test_a_missing_scan_function_brings_up_the_substitute(start: Start, practice: Path) -> None:
    running = start()
    session = running.program.book._session
    assert session is not None
    session.kit().keep({"scan tool: fan command": "missing"})
    board = Board(running).put(overheating())
    row = next(row for row in board.page.side.next._rows if row.test == "command_fan")
    assert row.name.startswith("Fused feed straight to the fan (instead of: Command the fan")
    assert any("The test itself lacks: scan tool: fan command" in remark for remark in row.remarks)
    board.run("command_fan")
    form = board.page.panel.test
    assert form.way.value == "fused_feed"
    assert any("fuse" in caution.lower() for caution in form.cautions.words())
    assert any("Unplug the fan" in step for step in form.steps.words())
    board.record_outcome("full_speed")
    entry = board.case.timeline[-1]
    assert isinstance(entry, TestEntry)
    assert entry.substitute == "fused_feed"
    assert entry.kit == ("fused jumper",)
    assert board.outlook.advice is not None
    result = board.outlook.advice.evidence.tests[-1]
    assert (result.strength, result.lowered) == ("weak", ("substitute",))
    # what the substitute leaves on stands in the list until it is off; repaired is refused with one sentence
    assert [row.title for row in board.page.side.on.lines.rows] == ["fan unplugged"]
    board.page.record("repair")
    board.page.panel.repair.cause.setPlainText("Fan relay")
    board.page.panel.repair.correction.setPlainText("Relay replaced")
    board.click(board.page.panel.repair.record_button)
    running.until(lambda: board.page.notes.note is not None, "refused")
    note = board.page.notes.note
    assert note is not None
    assert "still on the vehicle: fan unplugged" in note.text()
    assert board.case.state == "open"
    running.rest()
    board.page.leave()
    board.page.notes.put(None)
    board.page.side.ensureWidgetVisible(board.page.side.off_button)
    board.click(board.page.side.off_button)
    board.settle()
    assert board.outlook.still_on == ()
    board.page.record("repair")
    board.click(board.page.panel.repair.record_button)
    board.settle()
    assert str(board.case.state) == "repaired"


def test_unable_needs_a_reason_and_is_told_apart_from_not_tested(start: Start, practice: Path) -> None:
    board = Board(start()).put(overheating())
    board.run("cap_pressure")
    form = board.page.panel.test
    board.click(form.unable_button)
    assert board.page.panel.notes.note is not None
    assert len(board.case.timeline) == 2
    board.write(form.why, "No adapter fits")
    board.click(form.unable_button)
    board.settle()
    entry = board.case.timeline[-1]
    assert isinstance(entry, TestEntry)
    assert (entry.status, entry.why) == ("unable", "No adapter fits")
    remarks = {row.key: row.remark for row in board.page.side.gaps.lines.rows}
    assert remarks["cap"].startswith("Could not be tested: No adapter fits")
    assert remarks["radiator"].startswith("Not tested.")
    gate = next(g for g in board.page.flow.flow.page._gates if g.line == 3)
    assert (gate.word, gate.role) == ("unable", "untested")


def test_reported_unclear_and_unmet_conditions_count_less(start: Start, practice: Path) -> None:
    board = Board(start()).put(overheating())
    board.run("radiator_spread")
    form = board.page.panel.test
    board.click(form.source.buttons["reported"])
    board.click(form.conditions.lines[0].not_met)
    board.record_outcome("cold_outlet")
    entry = board.case.timeline[-1]
    assert isinstance(entry, TestEntry)
    assert (entry.source, entry.conditions[0].met) == ("reported", False)
    assert board.outlook.advice is not None
    assert [item.reason for item in board.outlook.advice.evidence.ignored if item.entry == entry.id] == ["too_weak"]
    board.page.run_test("radiator_spread")
    board.click(form.unclear_button)
    board.settle()
    unclear = board.case.timeline[-1]
    assert isinstance(unclear, TestEntry)
    assert (unclear.status, unclear.outcome) == ("unclear", "")


def test_a_second_run_repeats_the_first_or_takes_its_place(start: Start, practice: Path) -> None:
    board = Board(start()).put(overheating())
    board.run("radiator_spread")
    board.record_outcome("normal_spread")
    board.page.timeline.list.pick(2)
    board.click(board.page.timeline.line_bar.buttons["repeat"])
    form = board.page.panel.test
    assert not form.repeat_row.isHidden()
    form.repeats.choose("supersede:e3")
    board.record_outcome("cold_outlet")
    entry = board.case.timeline[-1]
    assert isinstance(entry, TestEntry)
    assert (entry.supersedes, entry.repeat_of) == ("e3", None)
    assert board.outlook.advice is not None
    assert [r.entries for r in board.outlook.advice.evidence.tests] == [(entry.id,)]


def test_without_a_map_everything_is_recorded_and_maps_are_proposed(start: Start, practice: Path) -> None:
    board = Board(start()).put(overheating(with_map=False))
    page = board.page
    assert not page.possible.isVisible()
    assert page.flow.notes.note is not None
    assert [found.id for found in page.desk.view.fitting][:1] == ["engine-overheating"]  # type: ignore[union-attr]
    board.click(page.buttons.record)
    form = page.panel.test
    assert form.chosen == ""
    board.write(form.name, "Squeezed the top hose")
    board.write(form.readings.fields[0, 0], "52 psi")
    board.write(form.outcome, "soft at full heat")
    form.stays.setChecked(True)
    board.click(form.record_button)
    board.settle()
    entry = board.case.timeline[-1]
    assert isinstance(entry, TestEntry)
    assert (entry.test, entry.outcome, entry.undone) == ("Squeezed the top hose", "soft at full heat", False)
    assert [(r.value, r.unit) for r in entry.readings] == [(52, "psi")]
    assert [item.entry for item in board.outlook.still_on] == [entry.id]
    assert page.side.kin.lines.rows
    # a third thermostat is a repeat even without a map
    page.record("part")
    page.panel.part.part.setText("thermostat")
    page.panel.submit()
    board.settle()
    assert page.timeline.card.words is not None
    assert page.timeline.card.words.stamp == "Repeat"
    # the proposed map is taken by its button
    board.click(page.flow.notes.note._buttons[0])
    board.settle()
    assert board.case.map is not None
    assert board.case.map.id == "engine-overheating"
    assert page.possible.isVisible()
    page.undo()
    board.settle()
    assert board.case.map is None


def test_the_guard_speaks_once_an_evidence_state_and_an_exemption_lifts_one_line(start: Start, practice: Path) -> None:
    running = start()
    board = Board(running).put(overheating())
    page = board.page
    page.record("part")
    page.panel.part.part.setText("thermostat")
    page.panel.submit()
    board.settle()
    assert page.timeline.card.isVisible()
    board.click(page.timeline.card.close_button)
    assert not page.timeline.card.isVisible()
    assert page.timeline.bar.isVisible()
    # opened again tomorrow: stamped on the same evidence, so one line is enough
    page.put_down()
    board.open(CASE_ID)
    assert page.timeline.bar.isVisible()
    assert not page.timeline.card.isVisible()
    assert any(row.stamp is not None and row.stamp.word == "Guard" for row in page.timeline.lines.rows)
    # fitted after another result: other evidence, so it speaks anew
    board.run("command_fan")
    board.record_outcome("full_speed")
    page.timeline.list.pick(2)
    board.click(page.timeline.line_bar.buttons["fit"])
    board.settle()
    assert page.timeline.card.isVisible()
    assert page.timeline.card.words is not None
    assert not page.timeline.card.words.planned
    # the exemption is named on that one line
    board.click(page.timeline.card.exempt_button)
    assert QApplication.focusWidget() is page.panel.part.purpose or not running.window.isActiveWindow()
    page.panel.part.purpose.choose("measured")
    for edit, text in (
        (page.panel.part.value, "91"), (page.panel.part.limit, "88"), (page.panel.part.unit, "degC"),
        (page.panel.part.limit_source, "stamp of the thermostat"),
    ):  # fmt: skip
        board.write(edit, text)
    page.panel.submit()
    board.settle()
    entry = board.case.timeline[-1]
    assert isinstance(entry, PartEntry)
    assert entry.exemption is not None
    assert entry.exemption.value == 91
    assert not page.timeline.card.isVisible()


def test_finding_service_and_note_are_lines_too(start: Start, practice: Path) -> None:
    board = Board(start()).put(overheating())
    page = board.page
    for kind, text in (("finding", "Little flow"), ("service", "Coolant filled"), ("note", "Back on Thursday")):
        page.record(kind)
        form = page.panel.current
        if kind == "finding":
            board.click(form.sections["flow"])  # type: ignore[attr-defined]
        board.write(form.first(), text)
        board.click(form.record_button)  # type: ignore[attr-defined]
        board.settle()
    assert [(e.kind, e.text) for e in board.case.timeline[2:]] == [
        ("finding", "Little flow"), ("service", "Coolant filled"), ("note", "Back on Thursday"),
    ]  # fmt: skip
    page.timeline.list.pick(4)
    board.click(page.timeline.line_bar.buttons["correct"])
    QTest.keyClicks(page.panel.current.first(), " at noon")
    board.click(page.panel.current.record_button)  # type: ignore[attr-defined]
    board.settle()
    assert "at noon" in board.case.timeline[4].text
    page.timeline.list.pick(4)
    board.click(page.timeline.line_bar.buttons["remove"])
    board.settle()
    assert len(board.case.timeline) == 4


def test_files_are_pasted_and_dropped_and_shown_beside_their_line(start: Start, practice: Path, tmp_path: Path) -> None:
    running = start()
    board = Board(running).put(overheating())
    page = board.page
    image = QImage(40, 30, QImage.Format.Format_RGB32)
    image.fill(QColor("red"))
    QGuiApplication.clipboard().setImage(image)
    page.timeline.list.pick(1)
    page.timeline.list.setFocus()
    QTest.keyClick(page.timeline.list, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    running.until(lambda: len(board.case.attachments) == 1, "pasted")
    board.settle()
    scope = tmp_path / "scope.pdf"
    scope.write_bytes(b"%PDF-1.4 trace")
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(scope))])
    place = QPointF(40, 40)
    action, left, none = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(place.toPoint(), action, data, left, none)
    QApplication.sendEvent(page, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(page, QDropEvent(place, action, data, left, none))
    running.until(lambda: len(board.case.attachments) == 2, "dropped")
    board.settle()
    picture, trace = board.case.attachments
    assert (picture.media_type, picture.entry) == ("image/png", "e2")
    assert (trace.name, trace.media_type, trace.size) == ("scope.pdf", "application/pdf", 14)
    session = running.program.book._session
    assert session is not None
    assert session.read_file(trace.sha256) == b"%PDF-1.4 trace"
    board.click(page.timeline.line_bar.buttons["files"])
    running.until(lambda: not page.layout_.files.picture.image.isNull(), "the picture")
    assert page.layout_.files.picture.image.size() == image.size()
    page.layout_.files.save(trace, tmp_path / "copy.pdf")
    running.rest()
    assert (tmp_path / "copy.pdf").read_bytes() == b"%PDF-1.4 trace"


@pytest.mark.qt_log_ignore(*POPUP)
def test_a_hold_waits_for_its_cool_down_and_no_time_is_filled_in(start: Start, practice: Path) -> None:
    board = _low_pedal(Board(start()))
    board.page.record("test")
    timer = board.page.panel.test.timer
    assert timer.isVisible()
    assert timer.hold.text() == timer.cool.text() == ""
    assert not timer.button.isEnabled()
    timer.hold.setText("0.2")
    timer.cool.setText("0.01")
    board.page.panel.page.ensureWidgetVisible(timer.button)
    board.click(timer.button)
    assert timer.phase == "holding"
    board.running.until(lambda: timer.phase == "cooling", "cooling")
    assert not timer.button.isEnabled()
    board.running.until(lambda: timer.phase == "ready", "ready")
    assert timer.holds == 1
    assert timer.button.isEnabled()


CRASHING = """
    import os, sys
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from pathlib import Path
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication
    from kbapp.desktop.program import Program

    app = QApplication([])
    program = Program(app, "practice", author="IK", window_state=Path("window.ini"), settings=Path("settings.json"))
    window = program.start()
    while program.book.state != "open":
        QTest.qWait(20)
    board = window.screen_of("split")
    window.go("split", sys.argv[1])
    while not board.desk.current or program.tasks.busy or not (program.book.index and program.book.index.ready):
        QTest.qWait(20)
    board.run_test("radiator_spread")
    fields = board.panel.test.readings.fields
    for key, text in {(0, 0): "104", (1, 0): "41"}.items():
        QTest.keyClicks(fields[key], text)
    QTest.keyClicks(board.panel.test.text, "Outlet cold at full fan")
    kept = []
    board.drafts.kept.connect(lambda: kept.append(1))
    QTest.qWait(1000)
    while not kept:  # a disk that is slow to flush adds its own time to the second
        QTest.qWait(20)
    while program.tasks.busy:
        QTest.qWait(20)
    QTest.keyClicks(board.panel.test.text, " and")
    os._exit(9)
"""


def test_a_crash_in_the_middle_of_an_entry_loses_at_most_the_last_second(
    start: Start, practice: Path, tmp_path: Path
) -> None:
    session = Session.open("practice", author="IK", follow=False)
    session.save(overheating(), None)
    session.close()
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(CRASHING), CASE_ID],
        cwd=tmp_path,
        capture_output=True,
        timeout=90,
        check=False,
    )
    assert done.returncode == 9, done.stderr.decode()
    board = Board(start()).open(CASE_ID)
    running = board.running
    running.until(lambda: board.page.notes.note is not None, "the draft is offered")
    note = board.page.notes.note
    assert note is not None
    assert "never recorded: Test" in note.text()
    board.click(note._buttons[0])
    form = board.page.panel.test
    assert form.chosen == "radiator_spread"
    assert (form.readings.fields[0, 0].text(), form.readings.fields[1, 0].text()) == ("104", "41")
    assert form.text.toPlainText().startswith("Outlet cold at full fan")
    assert KEEP_MS <= 500
    board.record_outcome("cold_outlet")
    assert isinstance(board.case.timeline[-1], TestEntry)
    running.rest()
    assert session_drafts(running.program.book._session) == []


def session_drafts(session: Session | None) -> list[str]:
    """Returns the keys of the drafts that are kept."""
    assert session is not None
    return [draft.key for draft in session.drafts().all() if draft.key.startswith("board:")]
