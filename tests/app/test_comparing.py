from datetime import date
from typing import Any

from kbapp.app.comparing import compare
from kbapp.records.case import Case
from tests.bench_cases import case

TODAY = date(2026, 3, 20)


def _case(number: str, outcome: str, **more: Any) -> Case:
    timeline = [
        {"id": "e1", "kind": "part", "part": "brake hose", "position": "LF", "stage": "fitted"},
        {"id": "e2", "kind": "test", "test": "hold_all", "outcome": outcome, "status": "done"},
        {"id": "e3", "kind": "test", "test": "leak_down", "outcome": "dry", "status": "done"},
        {"id": "e4", "kind": "test", "test": "smoke", "status": "unable"},
    ]
    return case(number, "open", TODAY, timeline=timeline, **more)


def test_what_two_cases_share_and_which_tests_came_out_differently() -> None:
    left = _case("A", "pedal_high", codes=[{"code": "C0035"}])
    right = _case("B", "pedal_low", codes=[{"code": "C0035"}, {"code": "C0040"}], vehicle={"make": "Brennick"})
    found = compare(left, right)
    assert found.same == (
        ("system", "brakes_hydraulic"), ("make", "Brennick"), ("code", "C0035"), ("part", "brake hose LF"),
        ("test", "leak_down=dry"),
    )  # fmt: skip
    assert found.other_outcome == (("hold_all", "pedal_high", "pedal_low"),)


def test_two_cases_without_anything_in_common() -> None:
    left = case("A", "open", TODAY, concern={"text": "hums"}, vehicle=None)
    right = case("B", "open", TODAY)
    assert compare(left, right).same == ()
