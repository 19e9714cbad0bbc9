"""Proof decides between equal matches; what came back or was withdrawn never leads."""

from pathlib import Path

import pytest

from kbapp.lookup.question import Question
from kbapp.records.vocabulary import STATES
from tests.lookup.books import asked, case, index_of

TEXT = "steering assist cuts out when parking"


def test_equal_matches_are_ordered_by_proof(tmp_path: Path) -> None:
    cases = [case(number, TEXT, state=state, opened="2026-01-01") for number, state in enumerate(STATES, 1)]
    with index_of(tmp_path, cases) as index:
        states = [hit.state for hit in index.ask(Question(text="assist cuts out")).hits]
    assert states[:3] == ["proved", "repaired", "open"]
    assert set(states[3:]) == {"came_back", "withdrawn"}


def test_proved_elsewhere_stands_between(tmp_path: Path) -> None:
    with index_of(tmp_path / "here", [case(1, TEXT)]) as index:
        here = index.ask(Question(text="assist")).hits[0]
    with index_of(tmp_path / "there", [case(1, TEXT)], signed=False) as index:
        there = index.ask(Question(text="assist")).hits[0]
    assert here.signed_here
    assert not there.signed_here
    assert here.score > there.score


@pytest.mark.parametrize("state", ["came_back", "withdrawn"])
def test_even_a_far_better_match_does_not_lead(tmp_path: Path, state: str) -> None:
    cases = [
        case(1, TEXT, state=state, symptoms=["steering assist cuts out"]),
        case(2, "parking lamp, assist", state="open"),
    ]
    with index_of(tmp_path, cases) as index:
        assert asked(index, "steering assist cuts out when parking", symptoms=("steering assist cuts out",)) == [2, 1]
        assert asked(index, "cuts out steering")[0] == 1  # it still stands alone where nothing else matches


def test_ties_go_to_the_newer_case(tmp_path: Path) -> None:
    cases = [case(number, TEXT, opened=f"2026-01-{number:02d}") for number in (3, 1, 2)]
    with index_of(tmp_path, cases) as index:
        assert asked(index, "assist") == [3, 2, 1]


def test_the_limit_cuts_the_same_order(tmp_path: Path) -> None:
    cases = [
        case(number, f"pedal {'sinks ' * (number % 7)} low", opened=f"2026-01-{1 + number % 28:02d}")
        for number in range(1, 60)
    ]
    with index_of(tmp_path, cases) as index:
        everything = asked(index, "pedal sinks", limit=1000)
        for limit in (0, 1, 3, 10, 40):
            assert asked(index, "pedal sinks", limit=limit) == everything[:limit]
