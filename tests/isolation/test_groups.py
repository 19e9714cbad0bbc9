import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.isolation.groups import Observed, conditional, joint, shared_errors
from tests.isolation.examples import by_name, look, make_map, points, ran, section

TABLE = np.array([[0.92, 0.04], [0.08, 0.96]])


@pytest.mark.parametrize(("repeats", "ratio"), [(1, 23.0), (2, 43.2), (3, 42.2)])
def test_shared_errors_are_never_multiplied(repeats: int, ratio: float) -> None:
    # [L] sensitivity .92, false positive .04, half of each shared: 23 → 43.2 → 42.2 (multiplying: 23 → 529)
    found = joint([Observed(TABLE, 0)] * repeats, shared_errors([TABLE]))
    assert float(found[0] / found[1]) == pytest.approx(ratio, abs=0.05)


@settings(max_examples=50)
@given(st.lists(st.floats(0.01, 0.99), min_size=6, max_size=6), st.lists(st.integers(0, 1), min_size=3, max_size=3))
def test_all_outcomes_of_a_group_sum_to_one(values: list[float], shown: list[int]) -> None:
    tables = [np.array([values[n : n + 2], [1 - v for v in values[n : n + 2]]]) for n in (0, 2, 4)]
    known = [Observed(table, outcome) for table, outcome in zip(tables[:2], shown[:2], strict=True)]
    assert conditional(tables[2], known, shared_errors(tables)).sum(axis=0) == pytest.approx([1, 1])


@settings(max_examples=30)
@given(st.lists(st.floats(0.05, 1), min_size=6, max_size=6), st.integers(0, 2))
def test_three_outcomes_in_a_group_sum_to_one(weights: list[float], shown: int) -> None:
    table = np.array(weights).reshape(3, 2)
    table = table / table.sum(axis=0)
    assert conditional(table, [Observed(table, shown)], shared_errors([table])).sum(axis=0) == pytest.approx([1, 1])


def test_without_results_a_candidate_keeps_its_likelihoods() -> None:
    assert conditional(TABLE, [], {}) is TABLE


def test_a_second_test_with_the_same_clamp_counts_less_than_one_with_another() -> None:
    sections = [section("a"), section("b"), section("c")]
    shared = make_map(sections, [points("t", "a", group="clamp"), points("u", "a", group="clamp")])
    apart = make_map(sections, [points("t", "a"), points("u", "a")])
    lines = (ran("t"), ran("u"))
    assert 0.7 < by_name(look(shared, *lines))["a"] < by_name(look(apart, *lines))["a"]
