"""A call by keyboard alone: an open case at once, who called kept apart, a scan found wherever it is fired."""

import time
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from kbapp.app.session import Session
from kbapp.app.triage import TriageSheet
from kbapp.desktop.triage.screen import PREFIX, TriageScreen
from kbapp.desktop.widgets.buttons import Button
from kbapp.records.timeline import PartEntry
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP, Running

Enter = Qt.Key.Key_Return
Ctrl = Qt.KeyboardModifier.ControlModifier
# an invented number of the North American form whose check digit agrees
VIN = "4BRND2D01K1284001"
CONCERN = "Brake pedal sinks to the floor while it is held at lights"
pytestmark = pytest.mark.qt_log_ignore(*POPUP)


@pytest.fixture
def running(start: Start, practice: Path) -> Running:
    made = start()
    made.activate()
    made.window.go("triage")
    made.rest()
    return made


@pytest.fixture
def page(running: Running) -> TriageScreen:
    return running.screen(TriageScreen, "triage")


def _fill(running: Running, *texts: str) -> None:
    """Types into the field with the keyboard and goes on with Enter, text by text."""
    for text in texts:
        QTest.qWait(70)  # a person is slower than a scanner
        if text:
            running.type(text)
        QTest.qWait(70)
        running.press(Enter)


def test_a_call_by_keyboard_alone_is_an_open_case_with_a_private_record(running: Running, page: TriageScreen) -> None:
    begun = time.monotonic()
    _fill(running, "Orchard Garage", "0555 0134", "WL 4182", VIN.lower(), "17-204")
    _fill(running, "", "Drovane", "", "B20D", "2019", "128 400 km")
    assert page.form.vehicle.texts()["make"] == "Brennick"
    running.type(CONCERN)
    running.until(lambda: "sinking pedal" in page.form.symptoms.offers, "the concern is understood")
    _fill(running, "", "sinking pedal", "", "hot day", "", "after new pads", "in spring")
    assert "pedal_held" in page.questions.edits
    assert QApplication.focusWidget() is page.questions.edits["pedal_pumped"]
    _fill(running, "comes up", "sinks", *[""] * (len(page.questions.edits) - 2))
    assert QApplication.focusWidget() is page.form.parts.edit
    _fill(running, "master cylinder")
    running.press(Qt.Key.Key_Down)
    _fill(running, "")
    assert [(part.part, part.effect) for part in page.form.parts.parts] == [("master cylinder", "unchanged")]
    _fill(running, "")
    running.type("C0040 stored ABS")
    running.press(Qt.Key.Key_Tab)
    running.type("pressure gauge, no scope")
    running.press(Enter, Ctrl)
    running.until(lambda: page.stack.currentWidget() is page.done, "recorded")
    assert time.monotonic() - begun < 60
    case = page._case
    assert case is not None
    assert case.state == "open"
    assert case.concern.text == CONCERN
    assert case.concern.symptoms == ("sinking pedal",)
    assert case.concern.system == "brakes_hydraulic"
    assert (case.concern.conditions, case.concern.began, case.concern.last_good) == (
        ("hot day",),
        "after new pads",
        "in spring",
    )
    assert case.vehicle is not None
    assert (case.vehicle.make, case.vehicle.engine, case.vehicle.model_year) == ("Brennick", "B20D", 2019)
    part = case.timeline[0]
    assert isinstance(part, PartEntry)
    assert (part.part, part.effect, part.source) == ("master cylinder", "unchanged", "reported")
    assert [(code.code, code.status, code.module) for code in case.codes] == [("C0040", "stored", "ABS")]
    assert "**comes up**" in case.notes
    assert "pressure gauge" in case.notes
    for secret in ("Orchard", "0555", "4182", VIN, "17-204"):
        assert secret not in case.model_dump_json()
    session = Session.open("practice", follow=False)
    try:
        private = session.private(case.id)
        assert session.drafts().all() == ()
    finally:
        session.close()
    assert (private.customer, private.phone, private.plate, private.vin, private.order_number) == (
        "Orchard Garage", "0555 0134", "WL 4182", VIN, "17-204",
    )  # fmt: skip


def test_after_the_call_maps_are_proposed_and_look_first_asks_with_everything(
    running: Running, page: TriageScreen
) -> None:
    page.form.concern.setFocus()
    _fill(running, "gets hot in traffic", "overheats in traffic")
    running.press(Enter, Ctrl)
    running.until(lambda: page.stack.currentWidget() is page.done, "recorded")
    assert "engine-overheating" in [row.key for row in page.done.maps.lines.rows]
    running.until(lambda: bool(page.done.kin.lines.rows), "cases like it")
    page.done.maps.setFocus()
    page.done.maps.pick([row.key for row in page.done.maps.lines.rows].index("engine-overheating"))
    running.press(Enter)
    running.until(lambda: page._case is not None and page._case.map is not None, "worked with the map")
    running.window.go("triage")
    page.done.buttons["look"].setFocus()
    running.press(Qt.Key.Key_Space)
    running.rest()
    assert running.window.current == "look"
    assert ("symptom", "overheats in traffic") in [(c.kind, c.value) for c in running.look.question.conditions.items]
    assert "2025-0067" in [row.hit.number for row in running.look.results.model.rows[:5]]


def test_a_scan_fired_into_any_field_goes_into_the_vin(running: Running, page: TriageScreen) -> None:
    running.type("Orch")
    QTest.qWait(120)
    for char in "I" + VIN:
        running.type(char)
    running.press(Enter)
    assert page.form.caller.edits["customer"].text() == "Orch"
    assert page.form.caller.vin.text() == VIN
    assert "agrees" in page.form.caller.vin.said()
    assert QApplication.focusWidget() is page.form.caller.edits["order_number"]


def test_typing_a_vin_slowly_into_another_field_leaves_it_there(running: Running, page: TriageScreen) -> None:
    for char in VIN:
        running.type(char)
        QTest.qWait(75)
    running.press(Enter)
    assert page.form.caller.edits["customer"].text() == VIN
    assert page.form.caller.vin.text() == ""


@pytest.mark.parametrize(
    ("typed", "said", "years"),
    [
        (VIN, "agrees", ["1989", "2019, the likelier"]),
        ("4BRND2D02K1284001", "does not fit", ["1989", "2019, the likelier"]),
        ("XBVDRV20DKA128400", "outside North America", ["1989", "2019"]),
        ("4BRND2DO1K1284", "14 characters", []),
    ],
)
def test_a_vin_is_judged_in_plain_words_and_both_years_offered(
    running: Running, page: TriageScreen, typed: str, said: str, years: list[str]
) -> None:
    field = page.form.caller.vin
    field.edit.setFocus()
    running.type(typed)
    assert said in field.said()
    offered = [button.text() for button in field.findChildren(Button) if not button.isHidden()]
    assert offered == years
    if years:
        field.findChildren(Button)[-1].click()
        assert page.form.vehicle.texts()["model_year"] == "2019"


def test_a_plate_seen_before_brings_the_vehicle(running: Running, page: TriageScreen) -> None:
    session = Session.open("practice", follow=False)
    try:
        case = session.case("2025-0067").case
        session.set_private(case.id, session.private(case.id).model_copy(update={"plate": "WL 4182 K"}))
    finally:
        session.close()
    page.form.caller.edits["plate"].setFocus()
    _fill(running, "wl4182k")
    running.until(lambda: page.visit_place.note is not None, "the visit is found")
    assert page.visit_place.note is not None
    assert "2025-0067" in page.visit_place.note.text()
    take = next(b for b in page.visit_place.findChildren(Button) if b.text() == "Take the vehicle over")
    take.click()
    assert case.vehicle is not None
    assert page.form.vehicle.texts()["family"] == case.vehicle.family


def test_a_blank_concern_is_told_and_nothing_recorded(running: Running, page: TriageScreen) -> None:
    before = running.program.book.cases
    _fill(running, "Orchard Garage")
    running.press(Enter, Ctrl)
    running.rest()
    assert page.notes.note is not None
    assert "concern is still blank" in page.notes.note.text()
    assert running.program.book.cases == before
    assert QApplication.focusWidget() is page.form.concern


def test_a_year_that_is_none_is_told_and_the_call_stays(running: Running, page: TriageScreen) -> None:
    page.form.vehicle.edits["model_year"].setText("2o19")
    page.form.concern.setPlainText("stalls")
    page.record()
    running.rest()
    assert page.notes.note is not None
    assert "vehicle.model_year" in page.notes.note.text()
    assert page.form.concern.toPlainText() == "stalls"


def test_a_call_is_kept_while_it_is_written_and_offered_after_a_crash(start: Start, practice: Path) -> None:
    sheet = TriageSheet(concern=CONCERN, symptoms=("sinking pedal",))
    session = Session.open("practice", follow=False)
    session.drafts().keep(PREFIX + "died", sheet.model_dump_json(exclude_defaults=True))
    session.close()
    running = start()
    running.activate()
    running.window.go("triage")
    page = running.screen(TriageScreen, "triage")
    running.until(lambda: page.notes.note is not None and "never recorded" in page.notes.note.text(), "offered")
    next(b for b in page.notes.findChildren(Button) if b.text() == "Go on with it").click()
    assert page.sheet() == sheet
    running.type(" again")
    running.until(lambda: page.head.kept.text().startswith("Draft kept"), "kept")


def test_questions_follow_the_concern_and_answers_stay(running: Running, page: TriageScreen) -> None:
    page.form.concern.setFocus()
    running.type("low pedal")
    running.until(lambda: "pedal_pumped" in page.questions.edits, "the pedal is asked about")
    page.questions.edits["pedal_pumped"].setText("yes")
    page.form.symptoms.edit.setFocus()
    _fill(running, "does not crank")
    assert "crank_sound" in page.questions.edits
    assert "pedal_pumped" not in page.questions.edits
    assert page.questions.answers() == {"pedal_pumped": "yes"}
    assert isinstance(page.questions.first(), QLineEdit)
