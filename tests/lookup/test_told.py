"""Tests and parts told in running text are understood, and a complaint is not taken for a test."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.lookup.question import Question
from kbapp.lookup.told import told_parts, told_results
from tests.lookup.books import case, fitted, index_of, ran


@pytest.mark.parametrize(
    ("text", "words", "outcome"),
    [
        ("knock over bumps, links off and it is gone", "bar links", "it is gone"),
        ("coil moved, misfire stayed", "swap", "misfire stayed"),
        (
            "pedal sinks, master cylinder plugged off it stays firm",
            "isolate",
            "master cylinder plugged off it stays firm",
        ),
        ("misfire at idle, leak-down tight", "leak down", "leak-down tight"),
    ],
)
def test_results_are_recognised_with_their_outcome(text: str, words: str, outcome: str) -> None:
    assert [(words in one.test_stems, one.outcome) for one in told_results(text)] == [(True, outcome)]


@pytest.mark.parametrize(
    "text",
    [
        "goes hot in queues, fine once moving",
        "loses power uphill, smoke behind",
        "brake pedal sinks at the lights",
        "",
        ",,;",
    ],
)
def test_a_complaint_is_no_test(text: str) -> None:
    assert told_results(text) == ()


def test_parts_fitted_in_vain() -> None:
    assert told_parts("new thermostat no help") == (frozenset({"new", "thermostat"}),)
    assert len(told_parts("flat again, third battery")) == 1
    assert told_parts("thermostat stuck, no heat") == ()


def test_a_result_told_in_the_question_brings_its_case_to_the_top(tmp_path: Path) -> None:
    gone = case(1, "knock over cobbles", timeline=[ran("both links off, slow over the ramp", "knock gone")])
    stays = case(2, "knock over cobbles", timeline=[ran("both links off, slow over the ramp", "knock stays")])
    with index_of(tmp_path / "i", [stays, gone]) as index:
        for text, first in (("links off and it is gone", 1), ("links off and no change", 2)):
            answer = index.ask(Question(text=f"knock over cobbles, {text}"))
            assert answer.hits[0].number == f"2026-000{first}"
            assert {"evidence", "evidence_against"} <= {reason.name for hit in answer.hits for reason in hit.reasons}


def test_a_part_told_to_be_new_lowers_the_case_it_cured(tmp_path: Path) -> None:
    cured = case(1, "overheats in town", timeline=[fitted("thermostat", "gone")])
    vain = case(2, "overheats in town", timeline=[fitted("thermostat", "unchanged")])
    with index_of(tmp_path / "i", [cured, vain]) as index:
        answer = index.ask(Question(text="overheats in town, new thermostat no help"))
        assert [hit.number for hit in answer.hits] == ["2026-0002", "2026-0001"]
        assert "tried_was_cause" in {reason.name for reason in answer.hits[1].reasons}


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_read(text: str) -> None:
    assert len(told_results(text)) <= 8
    assert len(told_parts(text)) <= 8
