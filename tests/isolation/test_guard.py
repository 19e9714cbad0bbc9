import pytest

from kbapp.isolation.economics import Economics
from kbapp.isolation.guard import Guard, stamp
from tests.isolation.examples import make_case, ran
from tests.isolation.guard_cases import BOOK_RULES, MODEL, QUIET, judged, part, present_case, proved_case, rules


def test_a_part_the_evidence_points_to_draws_no_warning() -> None:
    assert rules(*QUIET, part("caliper", "lf")) == set()


def test_later_results_never_count() -> None:
    case = make_case(part("master cylinder", "mc", stage="fitted"), ran("plug", "no"), ran("hold"))
    warnings = Guard(case, MODEL).judge(0).warnings
    assert "contradicted" not in {warning.rule for warning in warnings}


def test_without_a_map_the_rules_of_history_still_speak() -> None:
    vain = part("master cylinder", stage="fitted", effect="unchanged")
    assert rules(vain, part("master cylinder"), model=None) == {"no_map", "repeat", "unchanged"}
    assert rules(vain, ran("looked", "wet"), part("caliper"), model=None) == {"no_map"}


@pytest.mark.parametrize(
    ("cured", "of", "speaks"), [(0, 8, True), (1, 13, True), (1, 12, False), (0, 5, False), (0, 7, False)]
)
def test_rarely_the_cause_speaks_only_with_enough_cases(cured: int, of: int, speaks: bool) -> None:
    # Wilson upper bounds .324, .333, .354, .43 [L]; fewer than eight cases never speak
    proved = [proved_case(n, n < cured) for n in range(of)]
    found = Guard(present_case(), MODEL, proved=proved).judge(len(QUIET))
    assert {w.rule for w in found.warnings} == ({"rarely_the_cause"} if speaks else set())


def test_cases_signed_later_teach_nothing_about_a_part_fitted_before() -> None:
    sign_off = {"by": "MH", "role": "lead", "at": "2026-06-05T08:10:00+02:00"}
    proved = [proved_case(n, False, sign_off=sign_off) for n in range(8)]
    for at, speaks in (("2026-06-04T14:00:00+02:00", False), ("2026-06-06T14:00:00+02:00", True)):
        found = Guard(present_case(at), MODEL, proved=proved).judge(len(QUIET))
        assert ("rarely_the_cause" in {w.rule for w in found.warnings}) is speaks


def test_the_judgement_offers_the_next_test_and_both_costs() -> None:
    found = judged(part("master cylinder", "mc"))
    assert (found.next_test, found.next_minutes) == ("hold_r", 10)
    assert found.fit_now is not None
    assert found.test_first is not None
    assert found.share == pytest.approx(4 / 15)
    assert judged(part("wiper")).fit_now is None


def test_own_parts_are_judged_planned_ones_until_they_are_fitted() -> None:
    case = make_case(
        part("caliper", "lf", source="reported", stage="fitted"),
        part("hose", "lf"),
        part("master cylinder", "mc"),
        part("master cylinder", "mc", stage="fitted"),
        part("master cylinder", "mc", stage="removed"),
    )
    assert [j.entry for j in Guard(case, MODEL).judge_all()] == ["e2", "e4"]


def test_the_stamp_keeps_the_evidence_and_what_was_said() -> None:
    found = judged(ran("plug", "no"), ran("hold"), part("master cylinder", "mc"))
    kept = stamp(found, MODEL, "2026-06-04T10:00:00+02:00")
    assert kept.evidence == ("e1", "e2")
    assert kept.map_version == 1
    assert {w.rule for w in kept.warnings} == {w.rule for w in found.warnings}


def test_only_parts_are_judged() -> None:
    with pytest.raises(TypeError):
        Guard(make_case(ran("hold")), MODEL).judge(0)


def test_labour_is_part_of_the_cost() -> None:
    case = make_case(part("caliper", "lf"))
    dear = Guard(case, MODEL, economics=Economics(labour_per_minute=10)).judge(0)
    assert dear.reason_required


@pytest.mark.parametrize("rule", BOOK_RULES)
def test_each_rule_speaks_in_its_case(rule: str) -> None:
    case, more = BOOK_RULES[rule]
    found = Guard(case, MODEL, **more).judge(len(case.timeline) - 1)
    assert rule in {warning.rule for warning in found.warnings}
