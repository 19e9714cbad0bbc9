from datetime import date
from pathlib import Path

import pytest

from kbapp.app.adding import NewCase
from kbapp.app.bench import Group, scanned
from kbapp.app.session import Session
from kbapp.app.settings import Settings
from kbapp.records.private import PrivateDetails
from tests.bench_cases import LOW_PEDAL, a_bench, case
from tests.practice import OpenSession

TODAY = date(2026, 3, 20)


@pytest.fixture
def session(open_session: OpenSession, tmp_path: Path) -> Session:
    return open_session(str(tmp_path / "home" / "data" / "book"), follow=False)


def _numbers(session: Session, group: Group) -> set[str]:
    return {line.row.number for line in session.bench().view(TODAY).rows if line.group == group}


def test_each_group_holds_what_wants_something_and_nothing_else(session: Session) -> None:
    session.add([NewCase(one) for one in a_bench(TODAY)])
    assert _numbers(session, "open") == {"O-1", "O-2", "B-2"}
    assert _numbers(session, "retest") == {"R-1", "R-2"}
    assert _numbers(session, "follow_up") == {"F-1", "F-2"}
    assert _numbers(session, "came_back") == {"C-1"}
    view = session.bench().view(TODAY)
    assert view.counts == {"open": 3, "retest": 2, "follow_up": 2, "came_back": 1}
    by_number = {line.row.number: line for line in view.rows}
    assert by_number["O-1"].days == 4
    assert (by_number["F-1"].due_in, by_number["F-2"].due_in) == (-2, 5)


def test_a_case_opened_in_a_month_has_no_days(session: Session) -> None:
    session.add([NewCase(case("M-1", "open", TODAY, opened="2026-02"))])
    assert session.bench().view(TODAY).rows[0].days is None


def test_the_counts_go_beyond_what_is_shown(session: Session) -> None:
    session.add([NewCase(case(f"N-{n}", "open", TODAY)) for n in range(57)])
    view = session.bench().view(TODAY)
    assert (len(view.rows), view.counts["open"]) == (50, 57)


def test_what_is_next_comes_from_the_map_with_the_kit_of_the_shop(session: Session) -> None:
    mapped, bare = case("O-2", "open", TODAY, map={"id": LOW_PEDAL, "version": 1}), case("O-1", "open", TODAY)
    session.add([NewCase(mapped), NewCase(bare)])
    step = session.next_step(mapped.id, Settings())
    assert step.section_map is not None
    assert step.test is not None
    assert sum(item.share for item in step.possible) == pytest.approx(1)
    shares = [item.share for item in step.possible]
    assert shares == sorted(shares, reverse=True)
    assert step.test.way.kit_missing == ()
    session.kit().keep(dict.fromkeys(step.test.way.kit, "missing"))
    without = session.next_step(mapped.id, Settings()).test
    assert without is not None
    assert without.way.kit != step.test.way.kit or without.way.kit_missing == step.test.way.kit
    assert session.next_step(bare.id, Settings()).section_map is None


def test_a_map_that_is_not_here_leaves_the_case_without_one(session: Session) -> None:
    far = case("X-1", "open", TODAY, map={"id": "drawn-elsewhere", "version": 3})
    session.add([NewCase(far)])
    assert session.next_step(far.id, Settings()).section_map is None


def test_visits_are_found_by_plate_vin_and_phone_with_the_other_visits_of_the_vehicle(session: Session) -> None:
    vin = "ZBRPALB18J0012345"
    first = case("V-1", "proved", TODAY, days=90, vehicle_ref="blue pallow",
                 sign_off={"by": "MH", "result": "proved"})  # fmt: skip
    second, other = case("V-2", "open", TODAY, vehicle_ref="blue pallow"), case("V-3", "open", TODAY)
    details = PrivateDetails(plate="AB 123 CD", vin=vin, phone="+31 6 1234 5678")
    session.add([NewCase(first, details), NewCase(second), NewCase(other, PrivateDetails(plate="XX 1 YY"))])
    find = session.bench().find
    for wanted, by in (("ab-123-cd", "plate"), (vin, "vin"), (vin[-6:], "vin"), ("06 12345678", "phone")):
        found = find(wanted)
        assert [(visit.row.number, visit.by) for visit in found] == [("V-2", ""), ("V-1", by)]
    assert [visit.row.number for visit in find("I" + vin)] == ["V-2", "V-1"]
    assert find("AB 12") == ()


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("IZBRPALB18J0012345", "ZBRPALB18J0012345"), (" ZBRPALB18J0012345 ", "ZBRPALB18J0012345"), ("I 12", "I 12")],
)
def test_a_scanner_s_import_mark_is_left_out(typed: str, meant: str) -> None:
    assert scanned(typed) == meant
