from typing import Any

import pytest

from kbapp.isolation.guard import Guard
from kbapp.records.case import Case
from tests.isolation.examples import make_case, ran
from tests.isolation.guard_cases import MODEL, Json, judged, part, rules


def test_unchanged_speaks_until_a_test_has_told_something() -> None:
    vain = part("master cylinder", "mc", stage="fitted", effect="unchanged")
    assert "unchanged" in rules(vain, part("caliper", "lf"))
    assert "unchanged" in rules({**vain, "effect": "worse"}, part("caliper", "lf"))
    assert "unchanged" in rules(vain, ran("hold", "", status="unclear"), part("caliper", "lf"))
    assert "unchanged" not in rules(vain, ran("hold"), part("caliper", "lf"))
    assert "unchanged" not in rules({**vain, "effect": "better"}, part("caliper", "lf"))
    assert "unchanged" not in rules({**vain, "purpose": "maintenance"}, part("caliper", "lf"))


def test_no_retest_speaks_until_the_last_part_was_tried() -> None:
    fitted = part("master cylinder", "mc", stage="fitted")
    assert "no_retest" in rules(fitted, part("caliper", "lf"))
    assert "no_retest" in rules({**fitted, "effect": "not_checked"}, part("caliper", "lf"))
    assert "no_retest" not in rules({**fitted, "effect": "unchanged"}, part("caliper", "lf"))
    assert "no_retest" not in rules(ran("hold"), fitted, ran("hold"), part("caliper", "lf"))
    assert "no_retest" in rules(ran("plug"), fitted, ran("hold"), part("caliper", "lf"))


def test_repeat_speaks_for_the_same_part_in_the_same_place() -> None:
    first = part("caliper", "lf", stage="fitted", effect="unchanged", position="LF", at="2026-01-10")
    again = part("caliper", "lf", position="LF", at="2026-06-10")
    assert "repeat" in rules(first, again)
    assert "repeat" not in rules(first, {**again, "position": "RF"})
    assert "repeat" not in rules(first, {**again, "at": "2027-03-10"})
    assert "repeat" in rules({**first, "at": None}, again)
    assert "repeat" not in rules({**first, "stage": "planned"}, again)
    assert "repeat" not in rules({**first, "purpose": "temporary"}, again)


def test_repeat_is_silent_where_the_first_part_was_found_faulty() -> None:
    first = part("caliper", "lf", stage="fitted", effect="better", position="LF")
    off = part("caliper", "lf", stage="removed", position="LF", found="piston seized on the bench")
    again = part("caliper", "lf", position="LF")
    assert "repeat" not in rules(first, off, again)
    assert "repeat" in rules(first, {**off, "found": ""}, again)


def _earlier(**more: Any) -> Case:
    first = part("caliper", "lf", stage="fitted", position="LF", at="2026-01-10")
    base = {"id": "0d2f8a54-3c55-4f9e-8f6d-6a2f14d5b0a1", "number": "2026-0009", "opened": "2026-01-09"}
    return make_case(first, **{**base, **more})


@pytest.mark.parametrize(
    ("earlier", "now", "speaks"),
    [
        ({}, {"at": "2026-06-10"}, True),
        ({}, {"at": "2027-06-10"}, False),
        ({}, {"at": "2025-11-10"}, False),  # the other visit came later
        ({"concern": {"text": "brake squeal"}}, {"at": "2026-06-10"}, False),
    ],
)
def test_repeat_reads_earlier_cases_of_the_vehicle(earlier: Json, now: Json, speaks: bool) -> None:
    found = judged(part("caliper", "lf", position="LF", **now), history=[_earlier(**earlier)])
    warning = next((w for w in found.warnings if w.rule == "repeat"), None)
    assert (warning is not None) is speaks
    assert warning is None or warning.earlier == "2026-0009"


def test_repeat_reads_the_distance_where_time_is_over() -> None:
    def vehicle(km: float, unit: str = "km") -> Json:
        return {"odometer": {"value": km, "unit": unit}}

    for other, speaks in ((vehicle(100_000), True), (vehicle(90_000), False), (vehicle(65_000, "mi"), True)):
        case = make_case(part("caliper", "lf", position="LF", at="2028-01-01"), vehicle=vehicle(115_000))
        guard = Guard(case, MODEL, history=[_earlier(vehicle=other)])
        assert ("repeat" in {w.rule for w in guard.judge(0).warnings}) is speaks
