"""The whole case as a form: recorded as one goes, taken back, changed by two at once, corrected after it was signed."""

import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kbapp.app.jot import Jot
from kbapp.app.session import Session
from kbapp.desktop.case_form.screen import CaseScreen
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.forms.suggest_edit import LineEdit
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.records.case import Case
from kbapp.records.private import PrivateDetails
from kbapp.records.timeline import PartEntry, TestEntry
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP, Running

Enter = Qt.Key.Key_Return
Ctrl = Qt.KeyboardModifier.ControlModifier
Alt = Qt.KeyboardModifier.AltModifier
Shift = Qt.KeyboardModifier.ShiftModifier
ROOT = Path(__file__).resolve().parents[3]
JOT = Jot(
    "Whistles at lights, P0217 stored ECM",
    "Kestrow Marrick K20D 2021 61 200 km",
    "thermostat, no change; radiator, no change",
    "radiator spread: inlet 104 °C, outlet 41 °C",
    "water pump",
)
pytestmark = pytest.mark.qt_log_ignore(*POPUP)


@pytest.fixture
def case_id(practice: Path) -> str:
    session = Session.open("practice", author="IK", follow=False)
    try:
        return session.jot(JOT).cases[0]
    finally:
        session.close()


@pytest.fixture
def running(start: Start, case_id: str) -> Running:
    made = start()
    made.activate()
    _open(made, case_id)
    return made


@pytest.fixture
def page(running: Running) -> CaseScreen:
    return running.screen(CaseScreen, "case")


def _open(running: Running, case_id: str) -> None:
    running.window.go("case", case_id)
    page = running.screen(CaseScreen, "case")
    running.until(lambda: page.desk.now is not None and page.desk.now.case.id == case_id, "the case is open")
    running.rest()


def _stored(case_id: str) -> Case:
    session = Session.open("practice", follow=False)
    try:
        return session.case(case_id).case
    finally:
        session.close()


def _write(page: CaseScreen, name: str, text: str) -> None:
    control = page.page.fields.all[name].control
    control.setFocus()
    if isinstance(control, (RuledEdit, LineEdit)):
        control.selectAll()
    QTest.keyClick(control, Qt.Key.Key_Delete)
    QTest.keyClicks(control, text)


def _line(page: CaseScreen, name: str) -> LineEdit:
    assert page.page.timeline.form.fields is not None
    control = page.page.timeline.form.fields.all[name].control
    assert isinstance(control, LineEdit)
    return control


def _pick(page: CaseScreen, name: str) -> PickOne:
    assert page.page.timeline.form.fields is not None
    control = page.page.timeline.form.fields.all[name].control
    assert isinstance(control, PickOne)
    return control


def test_a_jot_becomes_structured_by_taking_suggestions_over_and_is_found_by_its_code(
    running: Running, page: CaseScreen, case_id: str
) -> None:
    running.until(lambda: bool(page.side.shown), "suggestions")
    page.side.list.setFocus()
    for _turn in range(20):
        before = len(page.side.shown)
        if not before:
            break
        running.press(Enter)
        running.until(lambda b=before: len(page.side.shown) != b, "taken over")  # type: ignore[misc]
        running.rest()
    case = _stored(case_id)
    assert [(code.code, code.module) for code in case.codes] == [("P0217", "ECM")]
    assert [e.part for e in case.timeline if isinstance(e, PartEntry)] == ["thermostat", "radiator"]
    tests = [entry for entry in case.timeline if isinstance(entry, TestEntry)]
    assert [(r.where, r.value, r.unit) for r in tests[0].readings] == [("inlet", 104, "degC"), ("outlet", 41, "degC")]
    assert case.correction is not None
    assert [part.part for part in case.correction.parts] == ["water pump"]
    running.window.go("look")
    running.ask("P0217 Marrick")
    assert case.number in [row.hit.number for row in running.look.results.model.rows]


def test_a_suggestion_can_be_left_out(running: Running, page: CaseScreen) -> None:
    running.until(lambda: bool(page.side.shown), "suggestions")
    first = page.side.shown[0].key
    page.side.list.setFocus()
    running.press(Qt.Key.Key_Delete)
    assert first not in [suggestion.key for suggestion in page.side.shown]


def test_fields_are_recorded_a_moment_after_they_are_left_and_taken_back(
    running: Running, page: CaseScreen, case_id: str
) -> None:
    _write(page, "lesson", "Look at the pump first")
    running.until(lambda: page.head.kept.text().startswith("Draft kept"), "kept while it is written")
    assert _stored(case_id).lesson == ""
    _write(page, "vehicle.generation", "2")
    running.press(Enter)
    running.until(lambda: page.head.kept.text().startswith("Recorded"), "recorded")
    running.rest()
    case = _stored(case_id)
    assert case.lesson == "Look at the pump first"
    assert case.vehicle is not None
    assert case.vehicle.generation == "2"
    assert page.desk.now is not None
    assert len(page.desk.now.revisions) == 2, "both fields are one revision"
    running.press(Qt.Key.Key_Z, Ctrl)
    running.until(lambda: _stored(case_id).lesson == "", "taken back")
    running.rest()
    assert page.page.fields.all["lesson"].read() == ""
    running.press(Qt.Key.Key_Z, Ctrl | Shift)
    running.until(lambda: _stored(case_id).lesson == "Look at the pump first", "done again")
    running.rest()
    assert page.page.fields.all["vehicle.generation"].read() == "2"


def test_lines_are_added_corrected_moved_and_taken_out_by_keyboard(
    running: Running, page: CaseScreen, case_id: str
) -> None:
    timeline = page.page.timeline
    timeline.buttons["part"].setFocus()
    running.press(Qt.Key.Key_Space)
    assert QApplication.focusWidget() is _line(page, "part")
    running.type("fan relay")
    _pick(page, "effect").setFocus()
    running.press(Qt.Key.Key_Down)
    _line(page, "cost").setFocus()
    running.type("24.50")
    running.press(Enter, Ctrl)
    running.until(lambda: len(timeline.list.lines.rows) == 3, "added")
    running.rest()
    part = _stored(case_id).timeline[-1]
    assert isinstance(part, PartEntry)
    assert (part.part, part.effect, part.by) == ("fan relay", "unchanged", "IK")
    assert part.cost is not None
    assert part.cost.value == 24.5
    timeline.list.setFocus()
    timeline.list.pick(2)
    running.press(Qt.Key.Key_Up, Alt)
    running.until(lambda: [e.kind for e in _stored(case_id).timeline] == ["note", "part", "finding"], "moved up")
    running.rest()
    assert timeline.list.currentIndex().row() == 1
    running.press(Enter)
    _line(page, "part").selectAll()
    running.type("fan motor")
    running.press(Enter, Ctrl)
    running.until(lambda: getattr(_stored(case_id).timeline[1], "part", "") == "fan motor", "corrected")
    running.rest()
    running.activate()  # offscreen, a list of suggestions takes the activation with it
    timeline.list.setFocus()
    timeline.list.pick(1)
    running.press(Qt.Key.Key_Delete)
    running.until(lambda: [e.kind for e in _stored(case_id).timeline] == ["note", "finding"], "taken out")


def test_a_test_with_readings_and_its_retest(running: Running, page: CaseScreen, case_id: str) -> None:
    page.page.timeline.write("test")
    _line(page, "test").setFocus()
    running.type("radiator spread")
    fields = page.page.timeline.form.fields
    assert fields is not None
    fields.all["readings"].control.setFocus()
    running.type("inlet: 104; 105 °C")
    running.press(Enter)
    running.type("outlet 41 °C")
    running.press(Enter, Ctrl)
    running.until(lambda: len(_stored(case_id).timeline) == 3, "added")
    running.rest()
    test = _stored(case_id).timeline[-1]
    assert isinstance(test, TestEntry)
    assert [(r.where, r.value, r.repeat) for r in test.readings] == [
        ("inlet", 104, 1),
        ("inlet", 105, 2),
        ("outlet", 41, 1),
    ]
    page.page.retests.write("retest")
    form = page.page.retests.form
    assert form.fields is not None
    form.fields.put("test", "radiator spread")
    form.fields.put("repeats", test.id)
    form.fields.put("result", "passed")
    form.record_button.click()
    running.until(lambda: bool(_stored(case_id).retest), "retested")
    assert _stored(case_id).retest[0].repeats == test.id


def test_a_line_that_cannot_be_taken_says_where_and_stays(running: Running, page: CaseScreen, case_id: str) -> None:
    page.page.timeline.write("part")
    _line(page, "labour_minutes").setText("long")
    page.page.timeline.form.record()
    form = page.page.timeline.form
    assert form.is_open
    assert "Part:" in form.faults.text()
    assert "Minutes of work" in form.faults.text()
    running.press(Qt.Key.Key_Escape)
    assert not page.page.timeline.form.is_open
    assert len(_stored(case_id).timeline) == 2


def test_a_fault_keeps_only_its_own_field_out(running: Running, page: CaseScreen, case_id: str) -> None:
    _write(page, "vehicle.model_year", "20x1")
    _write(page, "cause.text", "pump impeller slips")
    page.page.fields.all["vehicle.make"].control.setFocus()
    running.until(lambda: _stored(case_id).cause is not None, "the cause is recorded")
    running.rest()
    shown = page.page.fields.all["vehicle.model_year"].shown
    assert "Model year" in shown.said()  # type: ignore[attr-defined]
    assert page.page.fields.all["vehicle.model_year"].read() == "20x1"
    _write(page, "vehicle.model_year", "2022")
    running.press(Enter)
    running.until(lambda: getattr(_stored(case_id).vehicle, "model_year", 0) == 2022, "put right")
    running.rest()
    assert shown.said() == ""  # type: ignore[attr-defined]


def test_two_programs_change_the_same_field_and_nothing_is_lost(
    running: Running, page: CaseScreen, case_id: str
) -> None:
    book = running.program.book.info
    assert book is not None
    _write(page, "lesson", "mine: look at the pump")
    command = [sys.executable, "-m", "tests.desktop.case_form.other_process", "practice", case_id]
    for field, text in (("lesson", "theirs: look at the fan"), ("vehicle.generation", "2")):
        subprocess.run([*command, field, text], check=True, cwd=ROOT, capture_output=True, timeout=60)
    page.page.fields.all["vehicle.make"].control.setFocus()
    running.until(lambda: page.stack.currentWidget() is page.conflict, "the dispute is shown")
    assert page.conflict.dispute is not None
    assert [conflict.path for conflict in page.conflict.dispute.conflicts] == ["lesson"]
    assert not page.conflict.save_button.isEnabled()
    assert _stored(case_id).lesson == "theirs: look at the fan", "nothing is written over theirs"
    running.press(Qt.Key.Key_Space)
    assert page.conflict.picks == {"lesson": "mine"}
    running.press(Enter, Ctrl)
    running.until(lambda: page.stack.currentWidget() is page.sided, "settled")
    running.rest()
    case = _stored(case_id)
    assert case.lesson == "mine: look at the pump"
    assert case.vehicle is not None
    assert case.vehicle.generation == "2", "what only they changed stays"
    running.press(Qt.Key.Key_Z, Ctrl)
    running.until(lambda: _stored(case_id).lesson == "theirs: look at the fan", "theirs comes back by Undo")


def test_another_case_is_opened_beside_a_dispute_and_the_words_are_offered_again(
    running: Running, page: CaseScreen, case_id: str
) -> None:
    _write(page, "lesson", "mine")
    command = [sys.executable, "-m", "tests.desktop.case_form.other_process", "practice", case_id, "lesson", "theirs"]
    subprocess.run(command, check=True, cwd=ROOT, capture_output=True, timeout=60)
    page.page.fields.all["vehicle.make"].control.setFocus()
    running.until(lambda: page.stack.currentWidget() is page.conflict, "the dispute is shown")
    session = Session.open("practice", follow=False)
    try:
        other = session.case("2026-0068").case.id
    finally:
        session.close()
    _open(running, other)
    assert page.stack.currentWidget() is page.sided
    assert _stored(other).lesson != "mine"
    _open(running, case_id)
    assert page.notes.note is not None
    assert "never recorded" in page.notes.note.text()
    assert _stored(case_id).lesson == "theirs"


def test_what_another_program_adds_is_shown_and_merged(running: Running, page: CaseScreen, case_id: str) -> None:
    command = [
        sys.executable,
        "-m",
        "tests.desktop.case_form.other_process",
        "practice",
        case_id,
        "notes",
        "from the bay",
    ]
    subprocess.run(command, check=True, cwd=ROOT, capture_output=True, timeout=60)
    running.until(lambda: page.page.fields.all["notes"].read() == "from the bay", "shown")
    _write(page, "lesson", "mine")
    page.page.fields.all["vehicle.make"].control.setFocus()
    running.until(lambda: _stored(case_id).lesson == "mine", "recorded")
    assert _stored(case_id).notes == "from the bay"


def test_a_signed_case_asks_why_and_keeps_the_reason(running: Running, page: CaseScreen) -> None:
    session = Session.open("practice", follow=False)
    try:
        signed = session.case("2025-0067").case
    finally:
        session.close()
    _open(running, signed.id)
    assert page.side.shown == ()
    _write(page, "lesson", "Another lesson")
    page.page.fields.all["vehicle.make"].control.setFocus()
    running.until(lambda: page.reason.isVisible(), "asked")
    assert QApplication.focusWidget() is page.reason.edit
    assert _stored(signed.id).lesson == signed.lesson
    running.type("too short")
    running.press(Enter)
    running.rest()
    assert _stored(signed.id).lesson == signed.lesson
    running.type(" before, now long enough")
    running.press(Enter)
    running.until(lambda: _stored(signed.id).lesson == "Another lesson", "recorded")
    running.rest()
    assert page.desk.now is not None
    assert page.desk.now.revisions[0].reason == "too short before, now long enough"
    assert not page.reason.isVisible()
    _write(page, "lesson", "And another")
    page.page.fields.all["vehicle.make"].control.setFocus()
    running.until(lambda: page.reason.isVisible(), "asked again")
    page.reason.back_button.click()
    running.rest()
    assert page.page.fields.all["lesson"].read() == "Another lesson"
    assert _stored(signed.id).lesson == "Another lesson"


def test_what_was_never_recorded_is_offered_when_the_case_is_opened_again(start: Start, case_id: str) -> None:
    session = Session.open("practice", follow=False)
    session.drafts().keep(f"case:{case_id}", '{"lesson": "half a sentence", "nonsense": "x"}')
    session.close()
    running = start()
    running.activate()
    _open(running, case_id)
    page = running.screen(CaseScreen, "case")
    assert page.notes.note is not None
    assert "Lesson" in page.notes.note.text()
    next(b for b in page.notes.findChildren(Button) if b.text() == "Go on with it").click()
    running.until(lambda: _stored(case_id).lesson == "half a sentence", "recorded")
    running.rest()
    session = Session.open("practice", follow=False)
    try:
        assert session.drafts().all() == ()
    finally:
        session.close()


def test_notes_are_shown_as_they_are_read_and_load_nothing(running: Running, page: CaseScreen) -> None:
    notes = page.page.fields.all["notes"].control
    assert isinstance(notes, RuledEdit)
    notes.setPlainText("# Belt\n\n![x](file:///etc/passwd) <script>alert(1)</script> **tight**")
    page.page.preview.button.setFocus()
    running.press(Qt.Key.Key_Space)
    running.until(lambda: "tight" in page.page.preview.page.toPlainText(), "rendered")
    html = page.page.preview._edit is not None and page.page.preview.page._html
    assert "script" not in str(html)
    assert "img" not in str(html)


def test_the_private_record_is_kept_shown_and_erased_apart_from_the_case(
    running: Running, page: CaseScreen, case_id: str
) -> None:
    page.private_button.click()
    running.until(lambda: page.stack.currentWidget() is page.private, "shown")
    revisions = len(page.desk.now.revisions) if page.desk.now else 0
    running.type("Orchard Garage")
    page.private.fields.edits["plate"].setFocus()
    running.type("WL 4182 K")
    running.press(Enter, Ctrl)
    running.until(lambda: not page.private.changed, "kept")
    running.rest()
    assert "Orchard" not in _stored(case_id).model_dump_json()
    session = Session.open("practice", follow=False)
    try:
        assert session.private(case_id) == PrivateDetails(customer="Orchard Garage", plate="WL 4182 K")
        page.private.erase_button.click()
        assert session.private(case_id).customer == "Orchard Garage", "nothing is erased before it is confirmed"
        next(b for b in page.private.place.findChildren(Button) if b.text() == "Yes, erase it").click()
        running.until(
            lambda: "Backups" in (page.private.place.note.text() if page.private.place.note else ""), "erased"
        )
        assert session.private(case_id).empty
        assert len(session.revisions(case_id)) == revisions, "the private record is no part of the revisions"
    finally:
        session.close()
    running.press(Qt.Key.Key_Escape)
    assert page.stack.currentWidget() is page.sided


def test_a_vin_in_the_words_moves_to_the_private_record(running: Running, page: CaseScreen) -> None:
    session = Session.open("practice", author="IK", follow=False)
    # an invented number of the right shape
    case_id = session.jot(Jot("Whistles, VIN 4BRND2D01K1284001 on the card")).cases[0]
    session.close()
    _open(running, case_id)
    running.until(lambda: bool(page.side.shown) and page.side.shown[0].kind == "vin", "found")
    page.side.take_button.click()
    running.until(lambda: "4BRND" not in _stored(case_id).model_dump_json(), "moved")
    session = Session.open("practice", follow=False)
    try:
        assert session.private(case_id).vin == "4BRND2D01K1284001"
    finally:
        session.close()


def test_ties_to_other_cases(running: Running, page: CaseScreen, case_id: str) -> None:
    page.page.links.number.setFocus()
    running.type("2025-0067")
    running.press(Enter)
    running.until(lambda: bool(_stored(case_id).links), "tied")
    running.rest()
    assert page.page.links.list.lines.rows[0].title.startswith("2025-0067")
    page.page.links.number.setFocus()
    running.type("2099-0001")
    running.press(Enter)
    running.rest()
    assert page.notes.note is not None
    assert "2099-0001" in page.notes.note.text()
    page.page.links.drop_button.click()
    running.until(lambda: not _stored(case_id).links, "taken away")


def test_a_case_is_opened_from_the_reading_pane_and_from_jot(running: Running, page: CaseScreen) -> None:
    running.window.go("look")
    running.ask("2025-0067")
    running.look.reading.edit_button.click()
    running.until(lambda: page.desk.now is not None and page.desk.now.case.number == "2025-0067", "opened")
    running.press(Qt.Key.Key_Escape)
    assert running.window.current == "look"
    running.window.go("jot")
    running.jot.form.edits["concern"].setPlainText("squeals")
    running.jot.record()
    running.until(lambda: running.jot.notes.note is not None, "recorded")
    next(b for b in running.jot.notes.findChildren(Button) if b.text() == "Fill in the rest").click()
    running.until(lambda: page.desk.now is not None and page.desk.now.case.concern.text == "squeals", "opened")
