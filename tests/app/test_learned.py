"""What proved cases teach a map: by hand on a small map of the shop's own, and through the session's advice."""

from pathlib import Path
from typing import Any

import pytest

from kbapp.app.advising import Ask
from kbapp.app.learned import LearnedFigures, learned_line
from kbapp.app.session import Session
from kbapp.app.settings import Settings
from kbapp.maps.shipped import shipped_map
from kbapp.records.case import Case
from tests.ledger.books import book_of, case_id, job, tried
from tests.practice import OpenSession

MAP = shipped_map("engine-overheating")
TEST = MAP.tests[0]
CONCERN = {"text": "overheats", "system": "hvac_cooling", "symptoms": ["overheats"]}


def taught(n: int, section: str, outcome: int = 0, **more: Any) -> Case:
    """Returns a proved case of the map with one test and its cause in a section."""
    test = tried(TEST.id, TEST.outcomes[outcome].id, isolates="")
    case = job(n, test, map={"id": MAP.id}, **{"concern": CONCERN, **more})
    if case.cause is None:
        return case
    return case.model_copy(update={"cause": case.cause.model_copy(update={"section": section})})


def test_causes_and_outcomes_are_counted(tmp_path: Path) -> None:
    with book_of(tmp_path, taught(1, "flow"), taught(2, "flow", 1), taught(3, "thermostat")) as book:
        found = LearnedFigures(book).of(MAP)
    assert found.causes == {"flow": 2, "thermostat": 1}
    assert found.outcomes[TEST.id][TEST.outcomes[0].id] == {"flow": 1, "thermostat": 1}
    assert (found.cases(), found.cases_of(TEST.id)) == (3, 3)


def test_a_vehicle_and_a_job_recorded_twice_count_once(tmp_path: Path) -> None:
    cases = (
        taught(1, "flow", vehicle_ref="v1"), taught(2, "flow", vehicle_ref="v1"),
        taught(3, "thermostat"), taught(4, "thermostat", links=[{"kind": "same_as", "case": case_id(3)}]),
    )  # fmt: skip
    with book_of(tmp_path, *cases) as book:
        assert LearnedFigures(book).of(MAP).causes == {"flow": 1, "thermostat": 1}


@pytest.mark.parametrize("more", [{"state": "repaired"}, {"state": "came_back"}, {"state": "withdrawn"}])
def test_only_proved_cases_teach(tmp_path: Path, more: dict[str, Any]) -> None:
    with book_of(tmp_path, taught(1, "flow", **more)) as book:
        assert LearnedFigures(book).of(MAP).cases() == 0


def test_cases_of_others_teach_once_the_lead_accepted_them(tmp_path: Path) -> None:
    with book_of(tmp_path, taught(1, "flow"), origin="outside") as book:
        figures = LearnedFigures(book)
        assert figures.of(MAP).cases() == 0
        book.accept_signature(case_id(1), "MH")
        assert figures.of(MAP).cases() == 1


def test_another_concern_and_the_case_itself_teach_nothing(tmp_path: Path) -> None:
    with book_of(tmp_path, taught(1, "flow"), taught(2, "cap")) as book:
        figures = LearnedFigures(book)
        assert figures.of(MAP, ["Overheats"]).cases() == 2
        assert figures.of(MAP, ["low pedal"]).cases() == 0
        assert figures.of(MAP, without=case_id(2)).causes == {"flow": 1}


def test_a_changed_case_is_counted_anew(tmp_path: Path) -> None:
    with book_of(tmp_path, taught(1, "flow")) as book:
        figures = LearnedFigures(book)
        assert figures.of(MAP).causes == {"flow": 1}
        book.save(taught(1, "thermostat"), book.case(case_id(1)).revision)
        assert figures.of(MAP).causes == {"thermostat": 1}


def test_priors_move_as_a_dirichlet_says(tmp_path: Path) -> None:
    with book_of(tmp_path, *(taught(n, "flow") for n in range(1, 11))) as book:
        line = learned_line(MAP, LearnedFigures(book).of(MAP))
    sections = {section.section: section for section in line.sections}
    flow = sections["flow"]
    # by hand: the map's own prior weighs as much as 20 cases
    assert flow.learned == pytest.approx((20 * flow.own + 10) / 30)
    assert sum(section.learned for section in line.sections) == pytest.approx(1)
    assert (line.cases, flow.cases, sections["cap"].cases) == (10, 10, 0)
    assert [(test.test, test.cases) for test in line.tests] == [(TEST.id, 10)]


@pytest.fixture
def session(open_session: OpenSession, tmp_path: Path) -> Session:
    book_of(tmp_path, *(taught(n, "flow") for n in range(1, 31))).close()
    return open_session(str(tmp_path / "book"), follow=False)


def test_advice_uses_them_only_when_they_are_switched_on_and_says_so(session: Session) -> None:
    case = job(99, map={"id": MAP.id}, state="open", concern=CONCERN, retest=[], sign_off=None)
    off = session.advise(case, MAP, Ask(), Settings())
    on = session.advise(case, MAP, Ask(), Settings(learned=True))
    assert (off.as_dict()["learned_from"], on.as_dict()["learned_from"]) == (0, 30)
    assert on.picture.share("flow") > off.picture.share("flow")
    assert {test["learned_from"] for test in on.as_dict()["next_tests"] if test["test"] == TEST.id} == {30}
    assert "30 proved cases" in "\n".join(_lines(on))
    assert "proved cases." not in "\n".join(_lines(off))


def _lines(advice: Any) -> list[str]:
    from kbapp.wording.advice_text import advice_lines

    return list(advice_lines(advice))


def test_the_guard_judges_by_the_same_figures(session: Session) -> None:
    line = {"kind": "part", "part": "water pump", "section": "flow", "stage": "planned"}
    case = job(99, line, map={"id": MAP.id}, state="open", concern=CONCERN, retest=[], sign_off=None)
    shares = [
        session.guard(case, MAP, Ask(), Settings(learned=learned)).judge(0).share or 0.0 for learned in (False, True)
    ]
    assert shares[1] > shares[0]
