from datetime import date
from pathlib import Path

import pytest

from kbapp.app.kit import KitLine, ShopKit
from kbapp.app.kit_desk import KitDesk, due_of
from kbapp.app.testable import map_tests
from kbapp.errors import InputError
from kbapp.maps.shipped import shipped_map, shipped_maps
from kbapp.records.case import Shop
from kbapp.store.book import Book, create_book

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return create_book(str(tmp_path / "book"), SHOP)


def test_every_step_is_kept_at_once_and_taken_back(book: Book) -> None:
    kit = ShopKit(book, "IK")
    desk = KitDesk(kit)
    desk.stand("smoke machine", "missing")
    desk.stand("smoke machine", "have", "Drovane")
    desk.due("smoke machine", "2026-03-31")
    assert ShopKit(book, "RA").lines()["smoke machine"] == KitLine(
        "smoke machine", "missing", {"Drovane": "have"}, "2026-03-31"
    )
    assert kit.missing() == {"smoke machine"}
    assert kit.missing("drovane") == frozenset()
    assert (desk.undo(), desk.undo()) == ("smoke machine", "smoke machine")
    assert kit.lines()["smoke machine"] == KitLine("smoke machine", "missing")
    assert desk.redo() == "smoke machine"
    assert kit.missing("Drovane") == frozenset()
    desk.stand("smoke machine", None, "Drovane")
    assert not desk.can_redo
    for _step in range(9):
        desk.undo()
    assert kit.lines() == {}
    book.close()


def test_ticks_of_the_first_run_leave_families_and_calibration_alone(book: Book) -> None:
    kit = ShopKit(book, "IK")
    KitDesk(kit).due("torque wrench", "2026-01-31")
    kit.tick(frozenset({"multimeter"}))
    assert kit.lines()["torque wrench"].due == "2026-01-31"
    assert kit.missing() >= {"smoke machine"}
    book.close()


def test_own_lines_stand_beside_the_words_of_the_maps(book: Book) -> None:
    desk = KitDesk(ShopKit(book, "IK"))
    assert desk.add("  coil  tester ") == "coil tester"
    rows = {row.line.name: row for row in desk.rows(shipped_maps())}
    assert rows["coil tester"].own
    assert rows["multimeter"].maps > 5
    desk.forget("coil tester")
    assert "coil tester" not in {row.line.name for row in desk.rows(shipped_maps())}
    with pytest.raises(InputError):
        desk.add("   ")
    book.close()


def test_a_calibration_day_is_a_day() -> None:
    assert due_of("") == ""
    assert KitLine("a", due=due_of("2026-03-31")).days_left(date(2026, 3, 1)) == 30
    with pytest.raises(InputError) as found:
        due_of("soon")
    assert found.value.code == "kit_due_wrong"


def test_tests_are_possible_by_substitute_or_not_at_all() -> None:
    low_pedal = shipped_map("brake-low-pedal")
    everything = map_tests(low_pedal, ())
    assert everything.as_they_are == everything.tests
    kit = {piece for test in low_pedal.tests for piece in test.kit}
    nothing = map_tests(low_pedal, kit)
    held = next(t for t in map_tests(low_pedal, {"Scan tool: hold valve command"}).tests if t.lacking)
    assert held.lacking == ("scan tool: hold valve command",)
    for found in nothing.by_substitute:
        assert found.strength == "weak"
        assert found.substitute is not None
    assert all(found.strength == "none" for found in nothing.not_possible)
    assert len(nothing.as_they_are) + len(nothing.by_substitute) + len(nothing.not_possible) == len(low_pedal.tests)
