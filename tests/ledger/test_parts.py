from typing import Any

from tests.ledger.books import fitted, job, ledger_of, tried


def test_parts_with_fewer_than_eight_vehicles_are_not_ranked() -> None:
    many = [job(n, fitted("thermostat")) for n in range(1, 9)]
    few = [job(n, fitted("aardvark clip")) for n in range(10, 17)]
    assert [line.part for line in ledger_of(*few, *many).parts] == ["thermostat", "aardvark clip"]


def test_a_part_the_cause_names_cured_where_nobody_noted_it() -> None:
    def outcome(n: int, *timeline: dict[str, Any]) -> tuple[int, int, int]:
        (line,) = ledger_of(job(1, *timeline)).parts
        return line.cured.successes, line.unchanged, line.unproved

    assert outcome(1, fitted("Hose", "not_checked")) == (1, 0, 0)
    assert outcome(2, fitted("hose", "unchanged")) == (0, 1, 0)
    assert outcome(3, fitted("pump", "not_checked")) == (0, 0, 1)
    right = job(1, fitted("hose", "not_checked", position="RF"))
    assert right.cause is not None
    elsewhere = right.model_copy(update={"cause": right.cause.model_copy(update={"position": "LF"})})
    (line,) = ledger_of(elsewhere).parts
    assert (line.cured.successes, line.unproved) == (0, 1)


def test_only_parts_fitted_to_find_the_fault_count() -> None:
    lines = (fitted("oil", purpose="maintenance"), fitted("lamp", purpose="request"), fitted("coil", stage="removed"))
    assert ledger_of(job(1, *lines, tried("look"))).parts == ()


def test_whose_parts_are_asked_for() -> None:
    cases = [job(1, fitted("pump", source="reported"), tried("clamp all"), fitted("hose", "gone"))]
    assert [line.part for line in ledger_of(*cases, source="own").parts] == ["hose"]
    assert [line.part for line in ledger_of(*cases, source="reported").parts] == ["pump"]
