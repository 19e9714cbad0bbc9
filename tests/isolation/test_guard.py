from typing import Any

import pytest

from kbapp.isolation.economics import Economics
from kbapp.isolation.guard import Guard, stamp
from kbapp.isolation.guard_warning import WEIGHTS, GuardSettings, Judgement
from kbapp.isolation.model import Model, build
from kbapp.records.case import Case
from tests.isolation.examples import make_case, make_map, points, ran, section

Json = dict[str, Any]

MAP = make_map(
    [
        section("mc", 4, parts=[{"id": "master", "name": "master cylinder", "cost": 180, "labour_minutes": 60}]),
        section("lf", 4, parts=[{"id": "caliper", "name": "caliper", "cost": 90, "labour_minutes": 50}]),
        section("rf", 4, parts=[{"id": "caliper r", "name": "right caliper", "cost": 90, "labour_minutes": 50}]),
        section("sensor", 1, good_first=["base"], parts=[{"id": "sensor", "name": "sensor", "cost": 70}]),
        section("base", 1, cost=100),
    ],
    [
        points("plug", "mc", setup_minutes=15),
        points("hold", "lf", setup_minutes=2),
        points("hold_r", "rf"),
        points("measure", "base", run_minutes=5),
        points("scope", "sensor"),
    ],
)
MODEL = build(MAP)


def part(name: str, section_id: str = "", **more: Any) -> Json:
    """Returns a line of a part about to be fitted."""
    return {"kind": "part", "part": name, "section": section_id, "stage": "planned", **more}


def judged(
    *lines: Json, model: Model | None = MODEL, cost_limit: float = 250, history: list[Case] | None = None
) -> Judgement:
    """Returns what the guard says about the last line."""
    case = make_case(*lines)
    guard = Guard(case, model, GuardSettings(cost_limit), history=history or [])
    return guard.judge(len(lines) - 1)


def rules(*lines: Json, **more: Any) -> set[str]:
    """Returns the rules that speak about the last line."""
    return {warning.rule for warning in judged(*lines, **more).warnings}


# Enough is known here that no other rule speaks.
QUIET = (ran("plug", "no"), ran("hold_r", "no"), ran("measure", "no"), ran("scope", "no"), ran("hold", "yes"))


def test_a_part_the_evidence_points_to_draws_no_warning() -> None:
    assert rules(*QUIET, part("caliper", "lf")) == set()


def test_unsupported_speaks_without_an_isolating_result_for_its_section() -> None:
    assert "unsupported" in rules(part("caliper", "lf"))
    assert "unsupported" in rules(ran("hold_r", "no"), part("caliper", "lf"))
    assert "unsupported" not in rules(ran("hold"), part("caliper", "lf"))
    assert "unsupported" not in rules(ran("hold", source="reported"), part("caliper", "lf"))
    assert "unsupported" in rules(ran("hold", source="reported", substitute="clamp"), part("caliper", "lf"))


@pytest.mark.parametrize(
    ("more", "required"),
    [
        ({}, False),  # 90 + 50 min at 2.00 = 190
        ({"cost": {"value": 160, "currency": "EUR"}}, True),
        ({"returnable": False}, True),
        ({"needs_programming": True}, True),
        ({"returnable": True, "needs_programming": False}, False),
    ],
)
def test_costly_unsupported_parts_ask_for_a_reason(more: Json, required: bool) -> None:
    assert judged(part("caliper", "lf", **more)).reason_required is required


def test_contradicted_speaks_under_five_per_cent_with_a_strong_result_against() -> None:
    against = (ran("plug", "no"), ran("hold"))
    assert "contradicted" in rules(*against, part("master cylinder", "mc"))
    found = judged(*against, part("master cylinder", "mc"))
    assert [(seen.entry, seen.test, seen.outcome) for seen in found.against] == [("e1", "plug", "no")]


@pytest.mark.parametrize(
    "lines",
    [
        (ran("plug", "no"), ran("hold", "no"), ran("hold_r", "no")),  # over 5 %
        (ran("hold"), ran("hold_r")),  # nothing against
        (ran("plug", "no", conditions=[{"id": "off", "met": False}]), ran("hold")),  # its condition was not met
        (ran("plug", "no", strength="weak"), ran("hold")),
        (ran("plug", "no"), ran("hold"), ran("plug", "", status="unclear", supersedes="e1")),
    ],
)
def test_contradicted_stays_silent(lines: tuple[Json, ...]) -> None:
    assert "contradicted" not in rules(*lines, part("master cylinder", "mc"))


def test_later_results_never_count() -> None:
    case = make_case(part("master cylinder", "mc", stage="fitted"), ran("plug", "no"), ran("hold"))
    warnings = Guard(case, MODEL).judge(0).warnings
    assert "contradicted" not in {warning.rule for warning in warnings}


def test_unchanged_speaks_until_a_test_has_told_something() -> None:
    vain = part("master cylinder", "mc", stage="fitted", effect="unchanged")
    assert "unchanged" in rules(vain, part("caliper", "lf"))
    assert "unchanged" in rules({**vain, "effect": "worse"}, part("caliper", "lf"))
    assert "unchanged" in rules(vain, ran("hold", "", status="unclear"), part("caliper", "lf"))
    assert "unchanged" not in rules(vain, ran("hold"), part("caliper", "lf"))
    assert "unchanged" not in rules({**vain, "effect": "better"}, part("caliper", "lf"))
    assert "unchanged" not in rules({**vain, "purpose": "maintenance"}, part("caliper", "lf"))


def test_no_retest_speaks_until_the_last_part_was_tried() -> None:
    fitted = part("master cylinder", "mc", stage="fitted")
    assert "no_retest" in rules(fitted, part("caliper", "lf"))
    assert "no_retest" in rules({**fitted, "effect": "not_checked"}, part("caliper", "lf"))
    assert "no_retest" not in rules({**fitted, "effect": "unchanged"}, part("caliper", "lf"))
    assert "no_retest" not in rules(ran("hold"), fitted, ran("hold"), part("caliper", "lf"))
    assert "no_retest" in rules(ran("plug"), fitted, ran("hold"), part("caliper", "lf"))


def test_repeat_speaks_for_the_same_part_in_the_same_place() -> None:
    first = part("caliper", "lf", stage="fitted", effect="unchanged", position="LF", at="2026-01-10")
    again = part("caliper", "lf", position="LF", at="2026-06-10")
    assert "repeat" in rules(first, again)
    assert "repeat" not in rules(first, {**again, "position": "RF"})
    assert "repeat" not in rules(first, {**again, "at": "2027-03-10"})
    assert "repeat" in rules({**first, "at": None}, again)
    assert "repeat" not in rules({**first, "stage": "planned"}, again)
    assert "repeat" not in rules({**first, "purpose": "temporary"}, again)


def test_repeat_is_silent_where_the_first_part_was_found_faulty() -> None:
    first = part("caliper", "lf", stage="fitted", effect="better", position="LF")
    off = part("caliper", "lf", stage="removed", position="LF", found="piston seized on the bench")
    again = part("caliper", "lf", position="LF")
    assert "repeat" not in rules(first, off, again)
    assert "repeat" in rules(first, {**off, "found": ""}, again)


def _earlier(**more: Any) -> Case:
    first = part("caliper", "lf", stage="fitted", position="LF", at="2026-01-10")
    base = {"id": "0d2f8a54-3c55-4f9e-8f6d-6a2f14d5b0a1", "number": "2026-0009", "opened": "2026-01-09"}
    return make_case(first, **{**base, **more})


@pytest.mark.parametrize(
    ("earlier", "now", "speaks"),
    [
        ({}, {"at": "2026-06-10"}, True),
        ({}, {"at": "2027-06-10"}, False),
        ({}, {"at": "2025-11-10"}, False),  # the other visit came later
        ({"concern": {"text": "brake squeal"}}, {"at": "2026-06-10"}, False),
    ],
)
def test_repeat_reads_earlier_cases_of_the_vehicle(earlier: Json, now: Json, speaks: bool) -> None:
    found = judged(part("caliper", "lf", position="LF", **now), history=[_earlier(**earlier)])
    warning = next((w for w in found.warnings if w.rule == "repeat"), None)
    assert (warning is not None) is speaks
    assert warning is None or warning.earlier == "2026-0009"


def test_repeat_reads_the_distance_where_time_is_over() -> None:
    def vehicle(km: float, unit: str = "km") -> Json:
        return {"odometer": {"value": km, "unit": unit}}

    for other, speaks in ((vehicle(100_000), True), (vehicle(90_000), False), (vehicle(65_000, "mi"), True)):
        case = make_case(part("caliper", "lf", position="LF", at="2028-01-01"), vehicle=vehicle(115_000))
        guard = Guard(case, MODEL, history=[_earlier(vehicle=other)])
        assert ("repeat" in {w.rule for w in guard.judge(0).warnings}) is speaks


def test_coverage_names_untested_sections_over_five_per_cent() -> None:
    found = judged(ran("hold"), part("caliper", "lf"))
    coverage = next(w for w in found.warnings if w.rule == "coverage")
    assert set(coverage.sections) == {"mc", "rf"}
    assert found.untested == coverage.sections
    tested = judged(ran("hold"), ran("plug", "no"), ran("hold_r", "no"), part("caliper", "lf"))
    assert "coverage" not in {w.rule for w in tested.warnings}


def test_base_unmet_speaks_when_untested_or_failed() -> None:
    untested = judged(ran("scope"), part("sensor", "sensor"))
    assert next(w for w in untested.warnings if w.rule == "base_unmet").base == (("base", "untested"),)
    failed = judged(ran("scope"), ran("measure"), part("sensor", "sensor"))
    assert next(w for w in failed.warnings if w.rule == "base_unmet").base == (("base", "failed"),)
    assert "base_unmet" not in rules(ran("scope"), ran("measure", "no"), part("sensor", "sensor"))
    assert "base_unmet" not in rules(ran("hold"), part("caliper", "lf"))


def test_conflict_asks_for_the_cheapest_conflicting_test_again() -> None:
    found = judged(ran("hold"), ran("hold_r"), part("caliper", "lf"))
    warning = next(w for w in found.warnings if w.rule == "conflict")
    assert (warning.test, warning.minutes, warning.weight) == ("hold_r", 10, "repeat_test")
    assert "conflict" not in rules(ran("hold"), ran("hold_r", "no"), part("caliper", "lf"))


def test_a_part_no_section_names_is_never_passed_in_silence() -> None:
    assert "cannot_judge" in rules(part("wiper"))
    assert "cannot_judge" in rules(part("wiper", "roof"))
    assert "cannot_judge" not in rules(part("caliper"))


def test_without_a_map_the_rules_of_history_still_speak() -> None:
    vain = part("master cylinder", stage="fitted", effect="unchanged")
    assert rules(vain, part("master cylinder"), model=None) == {"no_map", "repeat", "unchanged"}
    assert rules(vain, ran("looked", "wet"), part("caliper"), model=None) == {"no_map"}


def _proved(n: int, cured: bool, **more: Any) -> Case:
    vehicle = {"make": "Brennick", "family": "Pallow"}
    effect = "gone" if cured else "unchanged"
    base = {
        "id": f"00000000-0000-4000-8000-{n:012d}", "state": "proved", "vehicle": vehicle, "vehicle_ref": f"v{n}",
        "cause": {"text": "x", "part": "caliper" if cured else "hose"},
        "concern": {"text": "low pedal", "symptoms": ["low pedal"], "system": "brakes_hydraulic"},
    }  # fmt: skip
    return make_case(part("caliper", "lf", stage="fitted", effect=effect), **{**base, **more})


def _now(at: str | None = None, **more: Any) -> Case:
    vehicle = {"make": "Brennick", "family": "Pallow"}
    concern = {"text": "pedal", "symptoms": ["low pedal"], "system": "brakes_hydraulic"}
    return make_case(*QUIET, part("caliper", "lf", at=at), vehicle=vehicle, concern=concern, **more)


@pytest.mark.parametrize(
    ("cured", "of", "speaks"), [(0, 8, True), (1, 13, True), (1, 12, False), (0, 5, False), (0, 7, False)]
)
def test_rarely_the_cause_speaks_only_with_enough_cases(cured: int, of: int, speaks: bool) -> None:
    # Wilson upper bounds .324, .333, .354, .43 [L]; fewer than eight cases never speak
    proved = [_proved(n, n < cured) for n in range(of)]
    found = Guard(_now(), MODEL, proved=proved).judge(len(QUIET))
    assert {w.rule for w in found.warnings} == ({"rarely_the_cause"} if speaks else set())


def test_cases_signed_later_teach_nothing_about_a_part_fitted_before() -> None:
    sign_off = {"by": "MH", "role": "lead", "at": "2026-06-05T08:10:00+02:00"}
    proved = [_proved(n, False, sign_off=sign_off) for n in range(8)]
    for at, speaks in (("2026-06-04T14:00:00+02:00", False), ("2026-06-06T14:00:00+02:00", True)):
        found = Guard(_now(at), MODEL, proved=proved).judge(len(QUIET))
        assert ("rarely_the_cause" in {w.rule for w in found.warnings}) is speaks


def test_every_rule_has_its_weight() -> None:
    assert WEIGHTS["contradicted"] == WEIGHTS["repeat"] == WEIGHTS["unchanged"] == "strong"
    assert WEIGHTS["rarely_the_cause"] == "information"


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


# One case for each rule that the map can raise, with what else is asked: the wording is tested on them.
BOOK_RULES: dict[str, tuple[Case, Json]] = {
    "unsupported": (make_case(part("caliper", "lf", returnable=False)), {}),
    "contradicted": (make_case(ran("plug", "no"), ran("hold"), part("master cylinder", "mc")), {}),
    "repeat": (make_case(part("caliper", "lf", stage="fitted", effect="unchanged"), part("caliper", "lf")), {}),
    "unchanged": (make_case(part("sensor", stage="fitted", effect="unchanged"), part("caliper", "lf")), {}),
    "no_retest": (make_case(part("sensor", stage="fitted"), part("caliper", "lf")), {}),
    "rarely_the_cause": (_now(), {"proved": tuple(_proved(n, False) for n in range(8))}),
    "coverage": (make_case(ran("hold"), part("caliper", "lf")), {}),
    "base_unmet": (make_case(ran("scope"), part("sensor", "sensor")), {}),
    "conflict": (make_case(ran("hold"), ran("hold_r"), part("caliper", "lf")), {}),
    "cannot_judge": (make_case(part("wiper")), {}),
    "exemption_incomplete": (make_case(part("caliper", "lf", purpose="recall")), {}),
}


@pytest.mark.parametrize("rule", BOOK_RULES)
def test_each_rule_speaks_in_its_case(rule: str) -> None:
    case, more = BOOK_RULES[rule]
    found = Guard(case, MODEL, **more).judge(len(case.timeline) - 1)
    assert rule in {warning.rule for warning in found.warnings}
