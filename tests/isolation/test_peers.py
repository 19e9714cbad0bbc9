import numpy as np
import pytest

from kbapp.isolation.peers import _MEDIAN_VARIANCE, compare, proposed_outcome
from kbapp.records.section_map import MapTest
from kbapp.records.timeline import Reading
from tests.isolation.examples import chances, make_map, points, section

WHEELS = ("LF", "RF", "LR", "RR")
Rows = list[list[float]]


@pytest.mark.parametrize(
    ("rows", "difference", "half_width", "verdict"),
    [
        # [L] resolution 1 mm, margin 3 mm
        ([[6, 7, 6], [7, 6, 7], [5, 5, 6], [14, 13, 14]], 7.3333, 1.2862, "stands_out"),
        ([[6, 8], [7, 6], [5, 6], [8, 9]], 2.0, 3.4349, "inconclusive"),
        ([[6, 6, 7], [6, 7, 6], [6, 6, 6], [7, 6, 7]], 0.3333, 1.1139, "none"),
        ([[11.8, 12.1, 11.9], [12.0, 12.4, 12.1], [7.9, 8.3, 8.0], [24.6, 25.3, 24.9]], 13.0, 0.6431, "stands_out"),
    ],
)
def test_one_wheel_stands_out(rows: Rows, difference: float, half_width: float, verdict: str) -> None:
    found = compare(dict(zip(WHEELS, rows, strict=True)), resolution=1, margin=3)
    assert (found.verdict, found.place) == (verdict, "RR")
    assert (found.difference, found.half_width) == pytest.approx((difference, half_width), abs=5e-5)


def test_the_variance_of_a_median_of_a_few() -> None:
    # [L] by simulation
    rng = np.random.default_rng(1)
    for count, expected in enumerate(_MEDIAN_VARIANCE, 1):
        medians = np.median(rng.standard_normal((60_000, count)), axis=1)
        assert float(medians.var()) == pytest.approx(expected, rel=0.02)


def test_by_axle_each_wheel_is_compared_with_its_mate() -> None:
    rows = {"LF": [10.0, 10], "RF": [10.0, 10], "LR": [4.0, 4], "RR": [9.0, 9]}
    assert compare(rows, resolution=0.1, margin=3, by_axle=True).place == "RR"
    assert compare(rows, resolution=0.1, margin=3).verdict == "none"


@pytest.mark.parametrize(
    "rows", [{"LF": [1.0, 2]}, {"LF": [1.0], "RF": [2.0]}, {"LF": [1.0, 2], "RF": []}, {}], ids=str
)
def test_too_little_to_compare(rows: dict[str, list[float]]) -> None:
    with pytest.raises(ValueError):
        compare(rows, resolution=1, margin=3)


def test_mates_missing_for_an_axle_comparison() -> None:
    with pytest.raises(ValueError):
        compare({"LF": [1.0, 2], "LR": [1.0, 2]}, resolution=1, margin=3, by_axle=True)


def _test(outcomes: int) -> MapTest:
    plan = {"places": list(WHEELS), "unit": "mm", "resolution": 1, "margin": 3}
    sections = [section(name.lower()) for name in WHEELS]
    if outcomes == 2:
        return make_map(sections, [points("t", "lf", readings=plan)]).tests[0]
    table = {name: {"*": 0.2, name.lower(): 0.6} for name in WHEELS}
    for name in WHEELS:
        table[name] |= {other.lower(): 0.1 for other in WHEELS if other != name}
    table["none"] = {"*": 0.2, **{name.lower(): 0.1 for name in WHEELS}}
    return make_map(sections, [chances("t", table, readings=plan)]).tests[0]


def _readings(rows: Rows, unit: str = "mm") -> list[Reading]:
    return [
        Reading(where=place, value=value, unit=unit, repeat=n)
        for place, row in zip(WHEELS, rows, strict=True)
        for n, value in enumerate(row, 1)
    ]


OUT: Rows = [[6, 7, 6], [7, 6, 7], [5, 5, 6], [14, 13, 14]]
NONE: Rows = [[6, 6, 7], [6, 7, 6], [6, 6, 6], [7, 6, 7]]
UNSURE: Rows = [[6, 8], [7, 6], [5, 6], [8, 9]]


@pytest.mark.parametrize(
    ("outcomes", "rows", "expected"),
    [(2, OUT, "yes"), (2, NONE, "no"), (2, UNSURE, ""), (5, OUT, "RR"), (5, NONE, "none")],
)
def test_the_readings_propose_an_outcome(outcomes: int, rows: Rows, expected: str) -> None:
    found = proposed_outcome(_test(outcomes), _readings(rows))
    assert found is not None
    assert found[1] == expected


def test_readings_in_another_unit_are_not_compared() -> None:
    assert proposed_outcome(_test(2), _readings(OUT, "in")) is None


def test_a_test_without_a_plan_proposes_nothing() -> None:
    assert proposed_outcome(make_map([section("a")], [points("t", "a")]).tests[0], _readings(OUT)) is None
