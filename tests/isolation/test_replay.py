from typing import Any

import pytest

from kbapp.isolation.replay import book_calibration, replay, true_section
from kbapp.records.case import Case
from tests.isolation.examples import fitted, make_case, make_map, points, ran, section

MAP = make_map(
    [section("mc", 3, cost=400), section("lf", 3, cost=150), section("rf", 3, cost=150)],
    [points("plug", "mc", setup_minutes=10), points("hold", "lf"), points("hold_r", "rf")],
    not_on_map=0.5,
)
CAUSE = {"text": "air in the caliper", "section": "lf"}


def _closed(*lines: dict[str, Any], **more: Any) -> Case:
    return make_case(*lines, **{"state": "proved", "cause": CAUSE, "map": {"id": "m"}, **more})


SWAPPED = _closed(
    fitted("master cylinder", "mc", cost={"value": 300, "currency": "EUR"}, labour_minutes=90),
    fitted("caliper", "rf", cost={"value": 120, "currency": "EUR"}, labour_minutes=40),
    ran("hold"),
    fitted("caliper", "lf", effect="gone", cost={"value": 120, "currency": "EUR"}, labour_minutes=40),
)


def test_following_the_advice_costs_less_than_swapping() -> None:
    found = replay(SWAPPED, MAP)
    assert found is not None
    assert found.reached
    assert found.steps[-1].kind == "repair"
    assert found.steps[-1].name == "lf"
    assert found.advised.parts_in_vain == 0
    assert found.done.parts_in_vain == 2
    assert found.done.cost == pytest.approx(300 + 180 + 2 * (120 + 80) + 20)
    assert found.done.minutes == pytest.approx(180)
    assert found.advised.cost < found.done.cost


def test_recorded_outcomes_stand_others_are_assumed() -> None:
    found = replay(_closed(ran("hold", "no")), MAP)
    assert found is not None
    shown = {step.name: (step.outcome, step.assumed) for step in found.steps if step.kind == "test"}
    assert shown.get("hold", ("no", False)) == ("no", False)
    assert all(assumed for name, (_, assumed) in shown.items() if name != "hold")


def test_without_costs_tests_run_until_one_section_is_supported() -> None:
    plain = make_map([section("a"), section("b"), section("c")], [points("t", "a"), points("u", "b"), points("v", "c")])
    found = replay(_closed(cause={"text": "x", "section": "c"}), plain)
    assert found is not None
    assert [step.name for step in found.steps if step.kind == "repair"] == ["c"]
    assert len(found.steps) >= 2


@pytest.mark.parametrize(
    "more",
    [
        {"state": "open"},
        {"cause": None},
        {"cause": {"text": "x", "section": "elsewhere"}},
        {"cause": {**CAUSE, "separated": False}},
    ],
)
def test_a_case_without_a_proved_section_is_not_replayed(more: dict[str, Any]) -> None:
    assert replay(_closed(ran("hold"), **more), MAP) is None


def test_a_cause_off_the_map_counts_for_calibration_only() -> None:
    case = _closed(ran("hold", "no"), cause={"text": "x", "section": "not_on_map"})
    assert true_section(case, MAP) == "not_on_map"
    assert replay(case, MAP) is None
    assert book_calibration([case], {"m": MAP}) is not None


def test_calibration_over_a_book() -> None:
    found = book_calibration([SWAPPED, _closed(ran("hold"), ran("plug", "no"))], {"m": MAP})
    assert found is not None
    assert found.n == 8
    assert 0 < found.brier < 0.2
    assert book_calibration([make_case()], {"m": MAP}) is None
