"""The retest beside its baseline, on small cases."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.isolation.retest import (
    baselines,
    compare_retest,
    comparisons,
    missing_proof,
    proof,
    proposed_baseline,
)
from kbapp.records.case import Case
from kbapp.records.case_document import check_case

ID = "5d8f1f0e-3c1b-4d57-8a63-6f1f0a1c9b42"


def _readings(*values: object, unit: str = "degC", where: str = "outlet") -> list[dict[str, Any]]:
    return [{"where": where, "value": value, "unit": unit, "repeat": n} for n, value in enumerate(values, 1)]


BASELINE = {
    "id": "e1", "kind": "test", "at": "2026-06-03T10:00:00Z", "by": "IK", "test": "spread", "outcome": "cold",
    "readings": _readings(41, 43), "conditions": [{"id": "warm", "met": True}],
}  # fmt: skip
PUMP = {"id": "e2", "kind": "part", "at": "2026-06-04T14:00:00Z", "part": "water pump", "effect": "gone"}
PASSED = {
    "id": "r1", "at": "2026-06-04T17:00:00Z", "test": "spread", "repeats": "e1", "outcome": "normal",
    "result": "passed", "readings": _readings(78, 79), "conditions": [{"id": "warm", "met": True}],
}  # fmt: skip


def made(*timeline: dict[str, Any], retest: tuple[dict[str, Any], ...] = (PASSED,)) -> Case:
    document = {
        "format": "provebook-case/1", "id": ID, "state": "repaired", "concern": {"text": "runs hot"},
        "timeline": list(timeline), "retest": list(retest),
    }  # fmt: skip
    return check_case(document).unwrap()


def test_before_and_after_stand_side_by_side() -> None:
    (found,) = comparisons(made(BASELINE, PUMP))
    (place,) = found.places
    assert (place.where, place.unit, place.before, place.after) == ("outlet", "degC", (41, 43), (78, 79))
    assert place.means == pytest.approx((42, 78.5))
    assert not found.differences
    assert (found.line, found.same_conditions, found.missing) == (1, True, None)
    assert [(change.line, change.name) for change in found.changes] == [(2, "water pump")]
    assert found.separated


@pytest.mark.parametrize(
    ("fields", "kinds", "missing"),
    [
        ({"same_conditions": False}, ["said"], "other_conditions"),
        ({"conditions": [{"id": "warm", "met": False}]}, ["condition"], "other_conditions"),
        ({"conditions": [{"id": "warm"}]}, [], None),
        ({"test": "another"}, ["test"], "other_conditions"),
        ({"readings": _readings(78)}, ["repeats"], None),
        ({"readings": []}, ["repeats"], None),
        ({"readings": _readings(172, 174, unit="degF")}, ["unit"], "other_conditions"),
        ({"readings": _readings(78, 79, where="inlet")}, ["place"], "other_conditions"),
        ({"result": "failed"}, [], "not_passed"),
        ({"result": None}, [], "not_passed"),
        ({"repeats": "e2"}, [], "no_baseline"),
        ({"repeats": None}, [], None),
        ({"repeats": None, "test": "never run"}, [], "no_baseline"),
    ],
)
def test_what_differs_is_told_and_may_undo_the_proof(
    fields: dict[str, Any], kinds: list[str], missing: str | None
) -> None:
    retest = {key: value for key, value in {**PASSED, **fields}.items() if value is not None}
    case = made(BASELINE, PUMP, retest=(retest,))
    (found,) = comparisons(case)
    assert [difference.kind for difference in found.differences] == kinds
    assert missing_proof(case) == missing
    assert (proof(case) is None) == (missing is not None)


def _part(line: str, part: str, **fields: object) -> dict[str, Any]:
    return {"id": line, "kind": "part", "part": part, "effect": "gone", **fields}


@pytest.mark.parametrize(
    ("lines", "changes"),
    [
        ([_part("e2", "pump"), _part("e3", "thermostat", effect="better")], 2),
        ([_part("e2", "thermostat", effect="unchanged"), _part("e3", "pump")], 1),
        ([_part("e2", "pump"), _part("e3", "gasket", purpose="seal")], 1),
        ([_part("e2", "spare pump", purpose="temporary"), _part("e3", "pump")], 1),
        ([_part("e2", "pads", purpose="set", position="LF"), _part("e3", "pads", purpose="set", position="RF")], 1),
        ([_part("e2", "hose", position="LF"), _part("e3", "hose", position="RF")], 2),
        ([_part("e2", "pump", stage="planned")], 0),
        ([_part("e2", "pump"), {"id": "e3", "kind": "service", "text": "bled"}], 2),
    ],
)
def test_several_changes_before_one_retest_are_not_told_apart(lines: list[dict[str, Any]], changes: int) -> None:
    (found,) = comparisons(made(BASELINE, *lines))
    assert len(found.changes) == changes
    assert found.separated == (changes <= 1)


def test_what_was_changed_after_the_retest_undoes_it() -> None:
    later = _part("e3", "thermostat", at="2026-06-05T09:00:00Z")
    case = made(BASELINE, PUMP, later)
    (found,) = comparisons(case)
    assert [change.name for change in found.changes] == ["water pump"]
    assert [change.name for change in found.changed_since] == ["thermostat"]
    assert missing_proof(case) == "changed_since"
    again = {**PASSED, "id": "r2", "at": "2026-06-05T12:00:00Z"}
    assert missing_proof(made(BASELINE, PUMP, later, retest=(PASSED, again))) is None


def test_a_later_retest_that_failed_counts() -> None:
    failed = {**PASSED, "id": "r2", "at": "2026-06-05T12:00:00Z", "result": "failed"}
    assert missing_proof(made(BASELINE, PUMP, retest=(PASSED, failed))) == "not_passed"
    assert missing_proof(made(BASELINE, PUMP, retest=(failed, PASSED))) is None
    assert missing_proof(made(BASELINE, PUMP, retest=())) == "no_retest"


def test_only_own_tests_that_were_done_can_be_repeated() -> None:
    reported = {**BASELINE, "id": "e3", "source": "reported"}
    unable = {**BASELINE, "id": "e4", "status": "unable", "readings": []}
    newer = {**BASELINE, "id": "e5", "supersedes": "e1"}
    case = made(BASELINE, reported, unable, newer, retest=())
    assert [(line, entry.id) for line, entry in baselines(case)] == [(4, "e5")]


def test_the_last_test_with_readings_before_the_repair_is_proposed() -> None:
    drive = {**BASELINE, "id": "e3", "test": "drive", "readings": []}
    after = {**BASELINE, "id": "e4"}
    assert proposed_baseline(made(BASELINE, drive, PUMP, after, retest=())) == "e1"
    assert proposed_baseline(made(drive, PUMP, retest=())) == "e3"
    assert proposed_baseline(made(PUMP, after, retest=())) == "e4"
    assert proposed_baseline(made(PUMP, retest=())) == ""


@settings(max_examples=60, deadline=None)
@given(
    before=st.lists(st.floats(-1e6, 1e6) | st.text("ab", min_size=1, max_size=3), max_size=4),
    after=st.lists(st.floats(-1e6, 1e6) | st.text("ab", min_size=1, max_size=3), max_size=4),
)
def test_every_reading_is_kept_on_its_side(before: list[float | str], after: list[float | str]) -> None:
    baseline = {**BASELINE, "readings": _readings(*before)}
    case = made(baseline, PUMP, retest=({**PASSED, "readings": _readings(*after)},))
    found = compare_retest(case, case.retest[0])
    assert [value for place in found.places for value in place.before] == before
    assert [value for place in found.places for value in place.after] == after
    numbers = all(isinstance(value, float) for value in (*before, *after))
    means = [place.means for place in found.places]
    assert all((mean is not None) == (numbers and bool(before) and bool(after)) for mean in means)
