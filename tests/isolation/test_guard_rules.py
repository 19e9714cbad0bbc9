import pytest

from tests.isolation.examples import ran
from tests.isolation.guard_cases import Json, judged, part, rules


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
