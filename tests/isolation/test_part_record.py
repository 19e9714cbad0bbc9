from typing import Any

from kbapp.isolation.part_record import part_record, same_concern
from kbapp.records.case import Case
from tests.isolation.examples import make_case

CONCERN = {"text": "low pedal", "symptoms": ["low pedal"], "system": "brakes_hydraulic"}
VEHICLE = {"make": "Brennick", "family": "Pallow"}


def _case(n: int, *, effect: str = "unchanged", **more: Any) -> Case:
    base = {
        "id": f"00000000-0000-4000-8000-{n:012d}", "state": "proved", "vehicle": VEHICLE, "vehicle_ref": f"v{n}",
        "concern": CONCERN, "cause": {"text": "x"},
    }  # fmt: skip
    purpose = more.pop("purpose", "diagnostic")
    return make_case({"kind": "part", "part": "caliper", "effect": effect, "purpose": purpose}, **{**base, **more})


NOW = _case(999, state="open")


def _counts(cases: list[Case]) -> tuple[int, int, str] | None:
    found = part_record(cases, NOW, "Caliper")
    return None if found is None else (found.interval.successes, found.interval.of, found.scope)


def test_family_first_then_the_system_and_said_so() -> None:
    family = [_case(n) for n in range(8)]
    others = [_case(n, vehicle={"make": "Kestrow", "family": "Lindle"}) for n in range(20, 30)]
    assert _counts(family + others) == (0, 8, "family")
    assert _counts(family[:3] + others) == (0, 13, "system")


def test_what_does_not_count() -> None:
    counted = [_case(1, effect="gone")]
    not_counted = [
        _case(2, state="repaired"),
        _case(3, cause={"text": "x", "separated": False}),
        _case(4, purpose="request"),
        _case(5, vehicle_ref="v1", effect="gone"),
        NOW,
    ]
    assert _counts(counted + not_counted) == (1, 1, "system")


def test_cured_is_read_from_the_cause_else_from_the_effect() -> None:
    assert _counts([_case(1, cause={"text": "x", "part": "caliper"})]) == (1, 1, "system")
    assert _counts([_case(1, effect="gone", cause={"text": "x", "part": "hose"})]) == (0, 1, "system")


def test_nothing_fitted_no_record() -> None:
    assert _counts([]) is None


def test_the_same_concern() -> None:
    low, text = _case(1), _case(2, concern={"text": "Low Pedal"})
    assert same_concern(low, NOW)
    assert not same_concern(low, _case(3, concern={**CONCERN, "symptoms": ["spongy pedal"]}))
    assert not same_concern(low, text)
    assert same_concern(text, _case(4, concern={"text": "low pedal "}))
