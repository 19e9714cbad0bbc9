"""The measures against published figures, ``ir_measures`` and laws."""

from random import Random

import ir_measures
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ir_measures import nDCG

from tests.lookup.measures import interval, ndcg, pair_kept, reciprocal_rank

GRADES = {"a": 3, "b": 2, "c": 3, "d": 0, "e": 1, "f": 2}


def test_ndcg_worked_example() -> None:
    # DCG 6.8611, ideal 7.1410: gains 3, 2, 3, 0, 1, 2, computed with ir-measures.
    assert ndcg("abcdef", GRADES) == pytest.approx(0.9608, abs=5e-5)


def test_ndcg_counts_what_was_not_found() -> None:
    # The first six places, two judged documents (3 and 2) not retrieved: ideal 8.7403, computed with ir-measures.
    assert ndcg("abcdef", {**GRADES, "g": 3, "h": 2}, depth=6) == pytest.approx(0.7850, abs=5e-5)


def test_mean_reciprocal_rank_worked_example() -> None:
    ranks = [reciprocal_rank(ranked, {"a": 3, "b": 1}) for ranked in ("ab", "ba", "bxa")]
    assert sum(ranks) / 3 == pytest.approx(0.6111, abs=5e-5)


def test_nothing_found_is_zero() -> None:
    assert (ndcg("", {"a": 3}), reciprocal_rank("x", {"a": 3})) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("ranked", "kept"), [("xab", 1.0), ("ba", 0.0), ("a", 1.0), ("b", 0.0), ("", 0.0)]
)  # fmt: skip
def test_pair_is_kept_only_by_the_better_case_before_the_worse(ranked: str, kept: float) -> None:
    assert pair_kept(ranked, ("a", "b")) == kept


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(0, 3), min_size=1, max_size=25), st.randoms(use_true_random=False))
def test_ndcg_agrees_with_the_library(grades: list[int], chance: Random) -> None:
    judged = {f"c{n}": grade for n, grade in enumerate(grades)}
    ranked = [*judged, "unjudged 1", "unjudged 2"]
    chance.shuffle(ranked)
    run = {"q": {case: -float(place) for place, case in enumerate(ranked)}}
    library = ir_measures.calc_aggregate([nDCG @ 10], {"q": judged}, run)[nDCG @ 10]
    assert ndcg(ranked, judged) == pytest.approx(library, abs=1e-9)


def test_interval_holds_the_mean_and_narrows_with_more_questions() -> None:
    few, many = [0.0, 1.0] * 5, [0.0, 1.0] * 500
    assert interval(few)[0] <= 0.5 <= interval(few)[1]
    assert interval(many)[1] - interval(many)[0] < interval(few)[1] - interval(few)[0]
    assert interval(few) == interval(few)
