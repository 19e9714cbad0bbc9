"""One case beside the vehicle: steps stamped by the guard, what stays on the vehicle, the question a case asks."""

from pathlib import Path

import pytest

from kbapp.app.board import BoardWork, outlook, question_of
from kbapp.app.still_on import still_on
from kbapp.errors import InputError
from kbapp.records.case import CASE_FORMAT, Case, Cause, CodeRecord, Concern, Correction, MapReference, Vehicle
from kbapp.records.timeline import NoteEntry, PartEntry, TestEntry
from tests.practice import OpenSession

CASE_ID = "11111111-2222-4333-8444-555555555555"


@pytest.fixture
def board(open_session: OpenSession, tmp_path: Path) -> BoardWork:
    session = open_session(str(tmp_path / "home" / "data" / "book"), follow=False)
    case = Case(
        format=CASE_FORMAT, id=CASE_ID, state="open", codes=(CodeRecord(code="P0217"),),
        concern=Concern(text="Hot in traffic", system="hvac_cooling", symptoms=("overheats in traffic",)),
        vehicle=Vehicle(make="Brennick", family="Drovane"), map=MapReference(id="engine-overheating", version=1),
    )  # fmt: skip
    session.save(case, None)
    return BoardWork(session, CASE_ID)


def _test(**values: object) -> TestEntry:
    return TestEntry.model_validate({"id": "new", "kind": "test", **values})


def _part(**values: object) -> PartEntry:
    return PartEntry.model_validate({"id": "new", "kind": "part", "part": "thermostat", **values})


def _state(board: BoardWork) -> str:
    return board.case.state


def _last_part(board: BoardWork) -> PartEntry:
    entry = board.case.timeline[-1]
    assert isinstance(entry, PartEntry)
    return entry


def test_a_line_gets_its_id_its_moment_and_its_author(board: BoardWork) -> None:
    board.record(NoteEntry(id="new", kind="note", text="one"))
    board.record(NoteEntry(id="new", kind="note", text="two"))
    first, second = board.case.timeline
    assert (first.id, second.id, first.by) == ("e1", "e2", "IK")
    assert first.at is not None


def test_a_part_is_stamped_on_the_evidence_of_its_moment_when_planned_and_when_fitted(board: BoardWork) -> None:
    board.record(_test(test="command_fan", outcome="full_speed"))
    board.record(_part(stage="planned", cost={"value": 400, "currency": "EUR"}))
    planned = _last_part(board)
    assert planned.guard is not None
    assert planned.guard.evidence == ("e1",)
    assert [warning.rule for warning in planned.guard.warnings][:1] == ["unsupported"]
    assert planned.guard.map_version == 1
    board.record(_test(test="radiator_spread", outcome="cold_outlet"))
    board.fit(planned)
    fitted = _last_part(board)
    assert fitted.stage == "fitted"
    assert fitted.guard is not None
    assert fitted.guard.evidence == ("e1", "e3")
    assert "unsupported" not in [warning.rule for warning in fitted.guard.warnings]
    board.changed_by(fitted.id, "unchanged")
    assert _last_part(board).effect == "unchanged"
    assert _last_part(board).guard == fitted.guard, "what was said then stays as it was said"


def test_reported_and_removed_parts_are_not_judged(board: BoardWork) -> None:
    board.record(_part(source="reported", effect="unchanged"))
    assert _last_part(board).guard is None
    board.record(_part(stage="removed"))
    assert _last_part(board).guard is None


def test_fitting_against_the_guard_keeps_who_and_why(board: BoardWork) -> None:
    board.record(_part(stage="planned"))
    board.override("e1", "MH", "the fleet insists on it")
    fitted = _last_part(board)
    assert (fitted.id, fitted.stage) == ("e2", "fitted")
    assert fitted.override is not None
    assert (fitted.override.by, fitted.override.reason) == ("MH", "the fleet insists on it")
    board.undo()
    assert [entry.id for entry in board.case.timeline] == ["e1"]
    with pytest.raises(InputError, match="line_unknown"):
        board.override("e9", "MH", "the fleet insists on it")


def test_repaired_is_refused_while_something_is_still_on(board: BoardWork) -> None:
    board.record(_test(test="thermostat_out", outcome="still_hot"))
    board.record(_part(part="pressure cap", stage="fitted", purpose="temporary"))
    section_map = board.view().section_map
    left = still_on(board.case, section_map)
    assert [(item.entry, item.what) for item in left] == [
        ("e1", "thermostat out"), ("e1", "coolant partly drained"), ("e2", "pressure cap"),
    ]  # fmt: skip
    cause, correction = Cause(text="pump"), Correction(text="pump fitted")
    with pytest.raises(InputError) as refused:
        board.repaired(cause, correction)
    assert refused.value.code == "still_on_vehicle"
    assert _state(board) == "open"
    board.take_off("e1")
    board.take_off("e2")
    assert still_on(board.case, section_map) == ()
    assert _last_part(board).stage == "removed"
    board.repaired(cause, correction)
    assert _state(board) == "repaired"
    assert board.case.cause == cause


def test_without_a_map_free_words_and_loan_parts_can_stay_on(board: BoardWork) -> None:
    board.choose_map(None)
    board.record(_test(test="Plug in the heater hose", outcome="cooler", undone=False))
    board.record(_test(test="Looked at the hose", outcome="fine"))
    assert [item.what for item in still_on(board.case, None)] == ["Plug in the heater hose"]
    view = board.view()
    assert view.section_map is None
    assert view.fitting[0].id == "engine-overheating"


def test_a_map_that_is_not_here_leaves_the_case_workable(board: BoardWork) -> None:
    board._work.change(board.case.model_copy(update={"map": MapReference(id="drawn-elsewhere", version=3)}))
    view = board.view()
    assert view.section_map is None
    assert outlook(board._session, view).advice is None


def test_a_case_asks_with_everything_it_knows(board: BoardWork) -> None:
    board.record(_test(test="radiator_spread", outcome="cold_outlet"))
    board.record(_test(test="cap_pressure", status="unable", why="no adapter"))
    board.record(_part(stage="fitted", effect="unchanged"))
    board.record(_part(part="radiator", stage="planned"))
    asked = question_of(board.case)
    assert asked.symptoms == ("overheats in traffic",)
    assert (asked.make, asked.family, asked.codes) == ("Brennick", "Drovane", ("P0217",))
    assert asked.parts_tried == ("thermostat",)
    assert [(item.test, item.outcome) for item in asked.evidence] == [("radiator_spread", "cold_outlet")]
    assert asked.not_case == CASE_ID
