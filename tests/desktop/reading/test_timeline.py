import pytest

from kbapp.app.practice import practice_files
from kbapp.desktop.reading.timeline import TimelineRow, timeline_rows
from kbapp.records.case import Case
from kbapp.records.case_document import read_case


def _case(number: str) -> Case:
    for path in practice_files():
        if path.name.startswith(number):
            return read_case(path.read_bytes()).unwrap(path.name)
    pytest.fail(f"no practice case {number}")


@pytest.fixture(scope="module")
def rows() -> tuple[TimelineRow, ...]:
    return timeline_rows(_case("0067"))


def test_every_line_and_every_retest_has_its_number(rows: tuple[TimelineRow, ...]) -> None:
    assert [row.number for row in rows] == list(range(1, 19))
    assert [row.icon for row in rows[:4]] == ["part", "service", "part", "part"]


def test_a_part_without_effect_is_stamped_so(rows: tuple[TimelineRow, ...]) -> None:
    first = rows[0]
    assert first.title == "Thermostat: fitted"
    assert first.stamp is not None
    assert (first.stamp.word, first.stamp.role) == ("Unchanged", "caution")
    assert first.reported
    assert "68 EUR, 75 min" in first.details
    assert first.when == "May 2025, previous shop"


def test_a_test_shows_readings_side_by_side_and_its_outcome(rows: tuple[TimelineRow, ...]) -> None:
    spread = rows[7]
    assert spread.title == "Radiator spread"
    assert spread.readings == "inlet 104 105 104 · outlet 41 43 42\u00a0°C"
    assert spread.stamp is not None
    assert spread.stamp.word == "Cold outlet"
    assert "Splits: flow and thermostat" in spread.details


def test_a_retest_names_the_line_it_repeats(rows: tuple[TimelineRow, ...]) -> None:
    retest = rows[16]
    assert retest.title == "Retest: Radiator spread, as line 8"
    assert retest.stamp is not None
    assert (retest.stamp.word, retest.stamp.role, retest.stamp.icon) == ("Passed", "good", "tick")


def test_a_line_read_aloud_says_all_of_it(rows: tuple[TimelineRow, ...]) -> None:
    spoken = rows[7].spoken()
    assert rows[7].when.endswith(", IK")
    for part in ("Line 8", "Radiator spread", "Cold outlet", "inlet 104", rows[7].when):
        assert part in spoken


def test_every_practice_case_has_a_line_for_each_entry() -> None:
    for path in practice_files():
        case = read_case(path.read_bytes()).unwrap(path.name)
        rows = timeline_rows(case)
        assert len(rows) == len(case.timeline) + len(case.retest)
        assert all(row.title and row.spoken() for row in rows)
