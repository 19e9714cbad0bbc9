from typing import Any

import pytest

from kbapp.isolation.advice import Advice, advise
from kbapp.wording.advice_text import advice_json, advice_lines
from kbapp.wording.guard_text import WEIGHT_NAMES, guard_text
from kbapp.wording.map_names import MapNames
from tests.isolation.examples import fitted, make_case, make_map, points, ran, section, seen, situation_map
from tests.isolation.guard_cases import BOOK_RULES, MAP, judged, part

SUBSTITUTES = [{"id": "clamp", "name": "Hose clamp", "kit": ["clamp"], "cautions": ["hose_clamp_last_resort"]}]


def _text(found: Advice) -> str:
    return "\n".join(advice_lines(found, "EUR"))


def test_a_technician_reads_shares_states_and_why() -> None:
    text = _text(advise(make_case(*seen("hlf:a hrf:b hlr:b all:b")), situation_map("S01")))
    assert "84 %  Supported   LF" in text
    assert "for: hlf: a (strong)" in text
    assert "against: hrf: b (strong)" in text
    assert "RR, 9 %: not tested" in text
    assert "1. hrr: 8 min, 0.200 bit" in text
    assert "Not on this map" in text


def test_a_conflict_says_what_to_repeat_and_what_would_explain_it() -> None:
    text = _text(advise(make_case(*seen("hlf:a hrf:b hlr:b hrr:a")), situation_map("S01")))
    assert "No single section explains these: hlf; hrr." in text
    assert "First repeat hlf (8 min)." in text
    assert "Together they would explain everything: LF; RR." in text


def test_weaker_results_say_why_and_lines_that_do_not_count_too() -> None:
    told = make_map([section("a"), section("b")], [points("t", "a"), points("u", "b")])
    case = make_case(ran("t", source="reported"), ran("u", "", status="unable", why="no tool"), ran("felt it", "hot"))
    text = _text(advise(case, told))
    assert "(weak: reported by others)" in text
    assert "e2 test u: could not be tested (no tool)" in text
    assert "e3 felt it: in free words, not a test of this map" in text


def test_kit_cautions_and_what_is_still_on_the_vehicle() -> None:
    tests = [
        points("t", "a", kit=["scan tool"], substitutes=SUBSTITUTES, wait_minutes=40),
        points("u", "b", undo="two plugs", restore_minutes=25, good_first=["a"], qualification="high voltage"),
        points("v", "b", destructive=True),
    ]
    told = make_map([section("a"), section("b")], tests)
    text = _text(advise(make_case(), told, missing=frozenset({"scan tool"})))
    assert "Hose clamp (instead of: test t): 10 min, and 40 min waiting" in text
    assert "The test itself needs: scan tool" in text
    assert "Smooth jaw" in text
    assert "First prove good: A" in text
    assert "Only with this qualification: high voltage." in text
    assert "Not reversible" in text
    after = _text(advise(make_case(ran("u")), told))
    assert "Still on the vehicle\n  two plugs (test u; 25 min to restore)" in after


def test_costs_and_the_picture_before_the_repair() -> None:
    text = _text(advise(make_case(ran("hold"), fitted("caliper", "lf", effect="gone")), MAP))
    assert "Where the fault could be before the repair" in text
    assert "Repair LF now: " in text
    assert " EUR" in text


def test_lines_that_do_not_fit_the_map_are_said_first() -> None:
    text = _text(advise(make_case(ran("hold", "maybe")), MAP))
    assert "timeline.0.outcome" in text.splitlines()[1]


@pytest.mark.parametrize("rule", BOOK_RULES)
def test_the_guard_says_each_rule_in_words(rule: str) -> None:
    case, more = BOOK_RULES[rule]
    found = advise(case, MAP, **more)
    warnings = [w for w in advice_json(found, "EUR")["guard"] if w["rule"] == rule]
    assert warnings, rule
    for warning in warnings:
        assert warning["text"].endswith(".")
        assert "{" not in warning["text"]
        assert warning["part"] in warning["text"]
        assert warning["text"] in _text(found)
        assert warning["weight"] in WEIGHT_NAMES


def _guard(*lines: dict[str, Any]) -> dict[str, str]:
    out = advice_json(advise(make_case(*lines), MAP), "EUR")["guard"]
    return {warning["rule"]: warning["text"] for warning in out}


def test_a_warning_names_the_evidence_its_time_the_share_and_a_way_on() -> None:
    lines = (ran("plug", "no", at="2026-06-04T10:42:00+02:00"), ran("hold"), part("master cylinder", "mc"))
    told = judged(*lines)
    assert told.fit_now is not None
    assert told.test_first is not None
    assert _guard(*lines)["contradicted"] == (
        "master cylinder: MC has a share of 1 %, and a strong result speaks against it: test plug: no "
        "(2026-06-04 10:42). Next test: test measure, 5 min. "
        f"Expected cost: fit now {told.fit_now:.0f} EUR, test first {told.test_first:.0f} EUR."
    )


def test_a_case_without_a_map_asks_for_one() -> None:
    (warning,) = judged(part("caliper"), model=None).warnings
    text = guard_text(judged(part("caliper"), model=None), warning, MapNames(MAP))
    assert text == "caliper: cannot judge it by evidence, the case has no section map. Choose one."


def test_a_part_without_a_section_is_to_be_linked() -> None:
    assert _guard(part("wiper"))["cannot_judge"] == (
        "wiper: cannot judge it, no section of the map names it. Link this part to a section."
    )
