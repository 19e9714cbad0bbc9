import numpy as np
import pytest

from kbapp.isolation.evidence import gather
from kbapp.isolation.model import build
from tests.isolation.examples import by_name, evidence, fitted, look, make_case, make_map, points, ran, section

PARTS = [{"id": "hose", "name": "brake hose"}, {"id": "caliper", "name": "caliper"}, {"id": "pads", "name": "pads"}]
MAP = make_map([section("a", parts=PARTS), section("b"), section("c")], [points("t", "a"), points("u", "b")])
MODEL = build(MAP)


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (ran("t", status="unclear"), "unclear"),
        (ran("t", status="unable", why="no hold command"), "unable"),
        (ran("t", outcome=""), "no_outcome"),
        (ran("looked underneath", "wet"), "free_words"),
        (ran("t", source="reported", substitute="clamp"), "too_weak"),
        (fitted("caliper", "a", effect="better"), "effect_not_evidence"),
        (fitted("caliper", "a", effect="worse"), "effect_not_evidence"),
        (fitted("caliper", "a", stage="planned"), "not_fitted"),
        (fitted("wiper"), "part_unlinked"),
    ],
)
def test_what_is_no_evidence_changes_nothing_and_is_listed(line: dict[str, object], reason: str) -> None:
    found = look(MAP, line)
    assert found.shares == pytest.approx([0.25, 0.25, 0.25, 0.25])
    assert [ignored.reason for ignored in found.evidence.ignored] == [reason]


def test_repeats_of_one_test_are_one_result() -> None:
    once, thrice = look(MAP, ran("t")), look(MAP, ran("t"), ran("t"), ran("t"))
    assert thrice.shares == pytest.approx(once.shares)
    assert thrice.evidence.results[0].entries == ("e1", "e2", "e3")


def test_repeats_that_disagree_count_as_unclear() -> None:
    found = look(MAP, ran("t"), ran("t", "no"))
    assert found.shares == pytest.approx([0.25] * 4)
    assert {ignored.reason for ignored in found.evidence.ignored} == {"repeats_disagree"}


def test_the_strongest_of_agreeing_repeats_counts() -> None:
    assert look(MAP, ran("t", source="reported"), ran("t")).shares == pytest.approx(look(MAP, ran("t")).shares)


def test_a_superseded_test_no_longer_counts() -> None:
    found = look(MAP, ran("t"), ran("t", "no", supersedes="e1"))
    assert found.shares == pytest.approx(look(MAP, ran("t", "no")).shares)
    unclear = look(MAP, ran("t"), ran("t", "", status="unclear", supersedes="e1"))
    assert unclear.shares == pytest.approx([0.25] * 4)


def test_a_line_cannot_supersede_a_later_one() -> None:
    found = look(MAP, ran("u", supersedes="e2"), ran("t"))
    assert [result.name for result in found.evidence.results] == ["u", "t"]


def test_one_new_hose_does_not_clear_a_circuit() -> None:
    # 1 − .98 × ⅓
    assert look(MAP, fitted("brake hose", "a")).shares[0] == pytest.approx((1 - 0.98 / 3) / (4 - 0.98 / 3))


def test_a_second_new_part_of_the_same_kind_says_no_more() -> None:
    one, two = look(MAP, fitted("hose", "a")), look(MAP, fitted("hose", "a"), fitted("brake hose", "a"))
    assert two.shares == pytest.approx(one.shares)


def test_the_map_may_set_cure_and_incidental_cure() -> None:
    part = {"id": "p", "name": "p", "cure": 0.8, "incidental_cure": 0.1}
    told = make_map([section("a", parts=[part]), section("b")])
    assert by_name(look(told, fitted("p", "a")))["a"] == pytest.approx(0.2 / (0.2 + 0.9 + 0.9))


def test_a_part_of_two_sections_speaks_against_both() -> None:
    shared = {"id": "relay", "name": "relay"}
    told = make_map([section("a", parts=[shared]), section("b", parts=[shared]), section("c")])
    found = by_name(look(told, fitted("relay")))
    assert found["a"] == found["b"] == pytest.approx(0.02 / 2.04)


def test_retests_after_the_repair_never_change_the_picture_before_it() -> None:
    before = look(MAP, ran("t"))
    after = look(MAP, ran("t"), fitted("caliper", "a", effect="gone"), ran("t", "no"), fitted("hose", "a"))
    assert after.shares == pytest.approx(before.shares)
    assert {(ignored.entry, ignored.reason) for ignored in after.evidence.ignored} == {
        ("e3", "after_repair"),
        ("e4", "after_repair"),
    }


def test_a_line_after_a_passed_retest_never_counts() -> None:
    case = make_case(
        ran("t", at="2026-05-04T10:00:00+02:00"),
        {"kind": "service", "text": "ground cleaned", "at": "2026-05-04T11:00:00+02:00"},
        ran("t", "no", at="2026-05-04T11:30:00+02:00"),
        retest=[{"id": "r", "at": "2026-05-04T11:20:00+02:00", "test": "t", "outcome": "no", "result": "passed"}],
    )
    assert [result.outcome for result in gather(case, MODEL).results] == ["yes"]


def test_lines_that_do_not_fit_the_map_are_faults_and_no_evidence() -> None:
    found = evidence(MODEL, ran("t", "perhaps"), fitted("caliper", "z"))
    assert [(fault.path, fault.code) for fault in found.mismatches] == [
        ("timeline.0.outcome", "case_outcome_unknown"),
        ("timeline.1.section", "case_section_unknown"),
    ]
    assert found.results == ()


def test_the_evidence_of_a_moment_knows_nothing_later() -> None:
    case = make_case(ran("t"), ran("u", "no"))
    assert [result.name for result in gather(case, MODEL, 1).results] == ["t"]


def test_outcomes_may_be_given_by_name() -> None:
    assert np.array_equal(look(MAP, ran("test t", "YES")).shares, look(MAP, ran("t", "yes")).shares)
