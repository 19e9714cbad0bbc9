"""The shipped maps at work in the engine: what it advises first must make sense at the bench.

Figures of the low pedal: common practice weights; the gain of a two-outcome test is H(P(first)) - H(.1), so hold all,
with .27 inside, has P(first) = .27·.9 + .73·.1 = .316 and gains .900 - .469 = .431 bit.
"""

import pytest

from kbapp.isolation.advice import Advice, advise
from kbapp.maps.shipped import shipped_map, shipped_maps
from kbapp.records.case import Case

PEDAL = (("hold_lf", "big"), ("hold_rf", "little"), ("hold_lr", "little"))


def _advice(map_id: str, *seen: tuple[str, str]) -> Advice:
    lines = [
        {"id": f"e{n}", "kind": "test", "at": "2026-06", "by": "IK", "source": "own", "test": test, "outcome": outcome}
        for n, (test, outcome) in enumerate(seen)
    ]
    case = Case.model_validate(
        {
            "format": "provebook-case/1",
            "id": "0b0f8a52-6f0f-4a53-9d0e-5b8f6f5f2a11",
            "state": "open",
            "concern": {"text": "as the map says"},
            "map": {"id": map_id, "version": 1},
            "timeline": lines,
        }
    )
    nested = {section_map.id: section_map for section_map in shipped_maps()}
    return advise(case, shipped_map(map_id), by="gain", nested=nested)


def _bits(advice: Advice) -> dict[str, float]:
    return {test["test"]: test["bits"] for test in advice.as_dict()["next_tests"]}


@pytest.mark.parametrize("map_id", [section_map.id for section_map in shipped_maps()])
def test_every_map_has_a_first_test_worth_running(map_id: str) -> None:
    advice = _advice(map_id)
    first = advice.as_dict()["next_tests"][0]
    assert first["bits"] > 0.15
    assert not advice.faults
    assert not (shipped_map(map_id).test(first["test"]) or pytest.fail(first["test"])).destructive


def test_a_low_pedal_is_split_in_the_middle_first() -> None:
    bits = _bits(_advice("brake-low-pedal"))
    assert next(iter(bits)) == "hold_all"
    assert bits["hold_all"] == pytest.approx(0.431, abs=5e-4)
    assert bits["hold_lf"] == pytest.approx(0.319, abs=5e-4)


def test_an_untested_wheel_stays_in_the_running() -> None:
    bits = _bits(_advice("brake-low-pedal", *PEDAL))
    assert list(bits)[:2] == ["hold_all", "hold_rr"]
    assert bits["hold_all"] == pytest.approx(0.263, abs=5e-4)
    assert bits["hold_rr"] == pytest.approx(0.180, abs=5e-4)


def test_two_wheels_that_both_drop_are_no_single_section() -> None:
    advice = _advice("brake-low-pedal", *PEDAL, ("hold_all", "high"), ("hold_rr", "big"))
    shares = {section["id"]: section["share"] for section in advice.as_dict()["sections"]}
    assert shares["lf"] == pytest.approx(0.4815, abs=5e-5)
    assert shares["rr"] == pytest.approx(0.4815, abs=5e-5)
    assert advice.conflict is not None


def test_stability_work_starts_at_the_base() -> None:
    assert next(iter(_bits(_advice("stability-braking")))) == "base_measured"
