from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.isolation.hitting_sets import minimal_hitting_sets


def _sets(*words: str) -> tuple[frozenset[str], ...]:
    return tuple(frozenset(word.split()) for word in words)


def test_the_polybox() -> None:
    # [S] de Kleer & Williams 1987, inputs and conflicts; minimal diagnoses [L]
    found = minimal_hitting_sets([{"A1", "M1", "M2"}, {"A1", "A2", "M1", "M3"}])
    assert set(found) == set(_sets("A1", "M1", "A2 M2", "M2 M3"))


def test_reiters_example() -> None:
    # [M] Reiter 1987, conflict sets from memory; result [L]
    told = ("2 4 5", "1 2 3", "1 3 5", "2 4 6", "2 4", "2 3 5", "1 6")
    found = minimal_hitting_sets(_sets(*told))
    assert set(found) == set(_sets("1 2", "1 3 4", "1 4 5", "2 3 6", "2 5 6", "3 4 6"))


def test_nothing_hits_an_empty_set() -> None:
    assert minimal_hitting_sets([{"a"}, set()]) == ()


def test_the_limit_bounds_the_size() -> None:
    assert minimal_hitting_sets([{"a"}, {"b"}, {"c"}], limit=2) == ()


@settings(max_examples=60)
@given(st.lists(st.sets(st.sampled_from("abcde"), min_size=1), max_size=5))
def test_against_every_subset(conflicts: list[set[str]]) -> None:
    hits = [
        frozenset(members)
        for size in range(6)
        for members in combinations("abcde", size)
        if all(set(members) & conflict for conflict in conflicts)
    ]
    smallest = {members for members in hits if not any(other < members for other in hits)}
    assert set(minimal_hitting_sets(conflicts)) == smallest
