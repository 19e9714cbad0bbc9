"""A call, the case as a form and old records, at every size and width they must be usable at."""

from pathlib import Path

import pytest

from kbapp.app.jot import Jot
from kbapp.app.session import Session
from kbapp.app.triage import PartTold
from kbapp.desktop.case_form.screen import CaseScreen
from kbapp.desktop.importing.screen import ImportScreen
from kbapp.desktop.theme.tokens import SizeName
from kbapp.desktop.triage.screen import TriageScreen
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP
from tests.desktop.test_accessibility_frame import Walk

ROOM = [(1280, 800), (1024, 700)]
JOT = Jot("Whistles, P0217 stored", "Kestrow Marrick", "thermostat, no change", "spread: inlet 104 °C", "water pump")


def _call(walk: Walk) -> None:
    running = walk.running
    running.window.go("triage")
    walk.check("call, blank")
    page = running.screen(TriageScreen, "triage")
    page.form.caller.vin.edit.setText("4BRND2D01K1284001")
    page.form.concern.setPlainText("pedal goes to the floor")
    running.until(lambda: bool(page.form.symptoms.offers), "terms")
    page.form.conditions.put(("hot day",))
    page.form.parts.put((PartTold(part="master cylinder", effect="unchanged"),))
    page.form.codes.setPlainText("C0040 stored ABS")
    walk.check("call, written")
    page.record()
    running.until(lambda: page.stack.currentWidget() is page.done, "recorded")
    walk.check("after the call")


def _case(walk: Walk, case_id: str) -> None:
    running = walk.running
    running.window.go("case", case_id)
    page = running.screen(CaseScreen, "case")
    running.until(lambda: bool(page.side.shown), "open")
    walk.check("case")
    for kind in ("part", "test", "finding"):
        page.page.timeline.write(kind)
        page.page.timeline.form.record()
        walk.check(f"line: {kind}")
    page.leave()
    page.page.retests.write("retest")
    walk.check("retest")
    page.leave()
    page.page.preview.button.setChecked(True)
    page.page.fields.all["vehicle.model_year"].control.setText("20x1")  # type: ignore[attr-defined]
    page.desk.commit()
    walk.check("fault")
    page.show_private()
    running.until(lambda: page.stack.currentWidget() is page.private, "private")
    page.private._ask()
    walk.check("private record")
    page.leave()
    page.reason.ask()
    walk.check("why a signed case is changed")
    page.reason.hide()
    _disputed(walk, page, case_id)


def _disputed(walk: Walk, page: CaseScreen, case_id: str) -> None:
    page.desk.write("lesson", "mine")
    session = Session.open("practice", author="RA", follow=False)
    try:
        view = session.case(case_id)
        session.save(view.case.model_copy(update={"lesson": "theirs"}), view.revision)
    finally:
        session.close()
    page.desk.commit()
    walk.running.until(lambda: page.stack.currentWidget() is page.conflict, "disputed")
    walk.check("disputed")


def _import(walk: Walk, folder: Path) -> None:
    running = walk.running
    running.window.go("import")
    page = running.screen(ImportScreen, "import")
    walk.check("import, blank")
    (folder / "old.csv").write_text("Job,Complaint,Year\n1,zebra,2018\n2,zebra,never\n", encoding="utf-8")
    page.open_file(str(folder / "old.csv"))
    running.until(lambda: bool(page.faults.lines.rows), "read")
    walk.check("import, seen")
    page.record()
    running.until(lambda: page.notes.note is not None, "brought in")
    walk.check("import, brought in")
    page.way.buttons["notes"].click()
    page.text.setPlainText("zebra\n\nFix: hose")
    running.until(lambda: bool(page.faults.lines.rows), "notes")
    walk.check("import, notes")


@pytest.mark.qt_log_ignore(*POPUP)
@pytest.mark.parametrize("room", ROOM, ids=["1280", "1024"])
@pytest.mark.parametrize("size", ["desk", "bay", "across"])
def test_forms_have_names_sizes_and_translations(
    start: Start, practice: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, size: SizeName, room: tuple[int, int]
) -> None:
    session = Session.open("practice", author="IK", follow=False)
    case_id = session.jot(JOT).cases[0]
    session.close()
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    running = start(width=room[0], height=room[1])
    running.program.resize(size)
    walk = Walk(running)
    _call(walk)
    _case(walk, case_id)
    _import(walk, tmp_path)
    assert running.window.width() == room[0], "the window is wider than it was asked to be"
    # the head of the page is the case itself: its number and first words
    wrong = [fault for fault in walk.wrong if JOT.concern not in fault]
    assert wrong == [], "\n".join(wrong)
