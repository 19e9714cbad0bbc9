import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbapp.isolation.strength import FLOOR, LEVELS, effective, floored, highest, lowest, steps_down, weakened
from kbapp.records.section_map import STRENGTHS
from kbapp.records.timeline import TestEntry
from tests.isolation.examples import make_map, points, section

SUBSTITUTES = [{"id": "clamp", "name": "Hose clamp"}, {"id": "look", "name": "Only look", "strength": "none"}]
TEST = make_map([section("a"), section("b")], [points("t", "a", substitutes=SUBSTITUTES)]).tests[0]


def _entry(**more: object) -> TestEntry:
    return TestEntry.model_validate({"id": "e", "kind": "test", "test": "t", "outcome": "yes", **more})


@pytest.mark.parametrize(
    ("entry", "expected", "reasons"),
    [
        (_entry(), "strong", ()),
        (_entry(source="reported"), "weak", ("reported",)),
        (_entry(substitute="clamp"), "weak", ("substitute",)),
        (_entry(substitute="something else"), "weak", ("substitute",)),
        (_entry(substitute="look"), "none", ("substitute",)),
        (_entry(conditions=[{"id": "off", "met": False}, {"id": "hot", "met": False}]), "weak", ("condition",)),
        (_entry(conditions=[{"id": "off", "met": True}, {"id": "hot"}]), "strong", ()),
        (_entry(source="reported", substitute="clamp"), "none", ("reported", "substitute")),
        (_entry(source="reported", substitute="clamp", conditions=[{"id": "off", "met": False}]), "none",
         ("reported", "substitute", "condition")),
        (_entry(strength="weak"), "weak", ("entry",)),
        (_entry(strength="none"), "none", ("entry",)),
        (_entry(strength="weak", source="reported"), "weak", ("reported",)),
    ],
)  # fmt: skip
def test_each_reason_lowers_one_step(entry: TestEntry, expected: str, reasons: tuple[str, ...]) -> None:
    assert effective("strong", TEST, entry) == (expected, reasons)


def test_an_entry_never_raises_the_maps_strength() -> None:
    assert effective("weak", TEST, _entry(strength="strong")) == ("weak", ())


@given(st.sampled_from(LEVELS), st.integers(0, 4))
def test_steps_never_raise(strength: str, steps: int) -> None:
    assert LEVELS.index(steps_down(strength, steps)) <= LEVELS.index(strength)  # type: ignore[arg-type]


def test_lowest_and_highest() -> None:
    assert lowest(("strong", "none", "weak")) == "none"
    assert highest(("weak", "strong")) == "strong"


def test_a_step_makes_the_named_strengths_of_each_other() -> None:
    table = np.array([STRENGTHS["strong"], STRENGTHS["strong"][::-1]])
    assert weakened(table, "strong", "weak")[0] == pytest.approx(STRENGTHS["weak"], abs=1e-15)
    assert weakened(table, "strong", "none") == pytest.approx(0.5)
    assert weakened(table, "strong", "strong") == pytest.approx(table)


def test_a_weakened_table_of_three_outcomes_still_sums_to_one() -> None:
    table = np.array([[0.92, 0.04], [0.05, 0.06], [0.03, 0.90]])
    assert weakened(table, "strong", "weak").sum(axis=0) == pytest.approx([1, 1])


def test_nothing_is_impossible() -> None:
    raised = floored(np.array([[1.0, 0.3], [0.0, 0.7]]))
    assert raised.min() >= FLOOR / (1 + FLOOR)
    assert raised.sum(axis=0) == pytest.approx([1, 1])
