from typing import Any

from tests.ledger.books import fitted, job, ledger_of, tried


def stamped(*rules: str, **more: Any) -> dict[str, Any]:
    return {"guard": {"warnings": [{"rule": rule, "weight": "strong"} for rule in rules]}, **more}


OVERRIDE: dict[str, Any] = {"override": {"by": "IK", "reason": "the customer insisted on it"}}


def test_what_came_of_what_the_guard_said() -> None:
    found = ledger_of(
        job(1, fitted("pump", **stamped("repeat", "unchanged"), **OVERRIDE), tried("clamp all")),
        job(2, fitted("pump", "gone", **stamped("repeat"))),
        job(3, fitted("pump", stage="planned", **stamped("repeat"))),
        job(4, fitted("pump", "not_checked", **stamped("repeat"))),
        job(5, fitted("hose", "gone", **stamped())),
    )
    lines = {line.rule: line for line in found.guard}
    repeat = lines["repeat"]
    assert (repeat.said, repeat.not_fitted, repeat.unproved, repeat.overridden) == (4, 1, 1, 1)
    assert (repeat.cured.successes, repeat.cured.of) == (1, 2)
    assert (lines["unchanged"].said, lines["unchanged"].cured.of) == (1, 1)
    assert (lines[""].said, lines[""].cured.successes) == (1, 1)
    assert [line.rule for line in found.guard] == ["repeat", "unchanged", ""]


def test_a_part_planned_and_fitted_is_one_part() -> None:
    planned = fitted("pump", stage="planned", **stamped("unsupported"))
    found = ledger_of(job(1, planned, tried("clamp all"), fitted("Pump", "gone", **stamped())))
    (line,) = found.guard
    assert (line.rule, line.said, line.not_fitted, line.cured.successes) == ("unsupported", 1, 0, 1)


def test_stamps_of_cases_that_do_not_count_say_nothing() -> None:
    assert ledger_of(job(1, fitted("pump", **stamped("repeat")), state="open")).guard == ()
