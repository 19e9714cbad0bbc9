"""Words of proving: every code has its own, and nothing is left unformatted."""

from typing import get_args

import pytest

from kbapp.app.aftercare import Version
from kbapp.app.lacks import CHECKS, Lack, LackCode, WritingCheck
from kbapp.app.lead_check import GROUPS
from kbapp.isolation.retest import Change, Difference, Differs, Missing, Place
from kbapp.records.case import FollowUp, Odometer
from kbapp.records.merge import Difference as Changed
from kbapp.store.sign_offs import SignedLine, SignResult
from kbapp.wording.proof_words import (
    GROUP_WORDS,
    changed_words,
    check_words,
    difference_words,
    field_words,
    follow_up_words,
    lack_words,
    missing_words,
    moved_words,
    not_separated_words,
    signed_line_words,
    values_words,
    version_words,
)


def test_every_code_has_words() -> None:
    said = [lack_words(Lack(code, "a clamp")) for code in get_args(LackCode)]
    said += [missing_words(code) for code in get_args(Missing)]
    said += [check_words(WritingCheck(name, done)) for name in CHECKS for done in (True, False)]
    said.append(difference_words(Difference("condition", "warm_engine", "met", "not_met")))
    said += [difference_words(Difference(kind, "inlet", "degC", "degF")) for kind in get_args(Differs)
             if kind != "condition"]  # fmt: skip
    said += [signed_line_words(SignedLine(1, "x", 2, "d", result, "MH", "lead", True, "", "", "IK"))
             for result in get_args(SignResult)]  # fmt: skip
    said += list(GROUP_WORDS.values())
    assert len(GROUP_WORDS) == len(GROUPS)
    assert [words for words in said if not words or "{" in words or "_" in words] == []


def test_readings_and_how_far_they_moved() -> None:
    place = Place("outlet", "degC", (41, 43), (78.5, 79))
    assert (values_words(place.before, place.unit), moved_words(place)) == ("41 43 °C", "+36.8 °C")
    assert values_words((), "degC") == "not read"
    assert moved_words(Place("plug", "", ("open",), (3.0,))) == ""
    assert not_separated_words((Change(2, "e2", "pump"), Change(3, "e3", "hose", "LF"))) == (
        "2 changes between the test and its retest: Pump (line 2), Hose left front (line 3). "
        "Which of them cured it cannot be told."
    )


@pytest.mark.parametrize(
    ("follow_up", "said"),
    [
        (FollowUp(due="2026-07-04"), "Due 4 Jul 2026"),
        (FollowUp(due_odometer=Odometer(value=189000)), "Due 189,000 km"),
        (FollowUp(done="2026-07-06", result="good", text="holds"), "Good, 6 Jul 2026: holds"),
        (FollowUp(done="2026-07-06", result="came back"), "Came back, 6 Jul 2026"),
    ],
)
def test_follow_ups(follow_up: FollowUp, said: str) -> None:
    assert follow_up_words(follow_up) == said


def test_revisions_and_fields() -> None:
    changed = (Changed("cause.text", "a", "b"),)
    assert version_words(Version(2, "", "IK", "sign_off:proved", changed)) == "Signed as proved"
    assert version_words(Version(2, "", "IK", "my own words", changed)) == "my own words"
    assert version_words(Version(2, "", "IK", "", changed)) == "1 field changed"
    assert version_words(Version(1, "", "IK", "", ())) == "Recorded"
    assert field_words("timeline.e3.outcome") == "Timeline, e3, outcome"
    assert changed_words(None) == "blank"
    assert changed_words({"text": "Pump", "separated": False}) == "Text: Pump, Separated: no"
    assert changed_words(["a", 2.0]) == "a; 2"
    assert changed_words("2026-06-05T08:10:00+02:00") == "5 Jun 2026, 08:10"
    assert len(changed_words("x" * 900)) == 300
