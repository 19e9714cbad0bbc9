"""Pasted notes become jots: by their order, or by what their lines say they are."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.app.jot import Jot, KnownVehicles
from kbapp.app.pasting import MOST_NOTES, notes_in, plan_notes
from kbapp.errors import InputError
from kbapp.records.case import Shop

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
KNOWN = KnownVehicles(("Kestrow",), ("Lindle",), ())


def test_blank_lines_part_notes_and_lines_have_their_order() -> None:
    text = "stalls at idle\nKestrow Lindle 2018\nvalve\nsmoke at hose\nhose\n \n\nsqueals\n"
    assert notes_in(text) == (
        Jot("stalls at idle", "Kestrow Lindle 2018", "valve", "smoke at hose", "hose"),
        Jot("squeals"),
    )


def test_lines_may_say_what_they_are() -> None:
    note = notes_in("Vehicle: Kestrow Lindle\nComplaint: stalls\nonly when warm\nFix: hose\nTest: smoke")[0]
    assert note == Jot("stalls\nonly when warm", "Kestrow Lindle", "", "smoke", "hose")


def test_a_plan_lists_notes_that_cannot_be_taken() -> None:
    plan = plan_notes("stalls\nKestrow Lindle\n\nFix: hose\n\nsqueals", SHOP, "IK", KNOWN)
    assert [case.concern.text for case in plan.cases] == ["stalls", "squeals"]
    assert [(fault.path, fault.code) for fault in plan.faults] == [("note 2", "note_without_concern")]
    vehicle = plan.cases[0].vehicle
    assert vehicle is not None
    assert (vehicle.make, vehicle.family) == ("Kestrow", "Lindle")


def test_a_line_that_is_too_long_is_a_fault_of_its_note() -> None:
    plan = plan_notes("stalls\n" + "x" * 400, SHOP, "IK", KNOWN)
    assert [(fault.path, fault.code, fault.found) for fault in plan.faults] == [("note 1", "note_too_long", "vehicle")]


def test_too_many_notes_at_once_are_refused() -> None:
    with pytest.raises(InputError) as refused:
        plan_notes("x\n\n" * (MOST_NOTES + 1), SHOP, "IK", KNOWN)
    assert refused.value.code == "notes_too_many"


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=200))
def test_no_text_breaks_the_reader(text: str) -> None:
    plan = plan_notes(text, SHOP, "IK", KNOWN)
    assert len(plan.notes) == len(plan.cases) + len({fault.path.split(":")[0] for fault in plan.faults})
