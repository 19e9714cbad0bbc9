from typing import Any

import pytest

from kbapp.errors import InputError
from kbapp.packs.clash import clash_fields, settle
from kbapp.records.fault import DocumentFaults
from tests.packs.world import case

ID = "3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10"


def versions(**theirs: Any) -> Any:
    return case(id=ID, vehicle_ref="v-1", notes="mine"), case(id=ID, number="other", opened="2026-06", **theirs)


def test_what_blanking_made_coarse_and_what_is_the_books_own_is_no_difference() -> None:
    mine, theirs = versions(notes="theirs")
    paths = [one.path for one in clash_fields(mine, theirs)]
    assert "notes" in paths
    assert not {"opened", "vehicle_ref", "number", "shop"} & set(paths)


def test_what_nobody_chose_stays() -> None:
    mine, theirs = versions(notes="theirs", lesson="look twice")
    assert settle(mine, theirs, []) == mine
    taken = settle(mine, theirs, ["notes"])
    assert (taken.notes, taken.lesson, taken.opened, taken.vehicle_ref) == ("theirs", "", mine.opened, "v-1")


def test_lines_are_taken_one_by_one() -> None:
    line = {"id": "e9", "kind": "note", "text": "added there"}
    mine = case(id=ID)
    changed = [{**entry.plain(), **({"outcome": "half speed"} if entry.id == "e1" else {})} for entry in mine.timeline]
    theirs = case(id=ID, timeline=[*changed, line])
    assert [one.path for one in clash_fields(mine, theirs)][:2] == ["timeline.e1.outcome", "timeline.e9"]
    taken = settle(mine, theirs, ["timeline.e9"])
    assert [entry.id for entry in taken.timeline] == ["e1", "e2", "e9"]
    assert taken.timeline[0] == mine.timeline[0]
    both = settle(mine, theirs, ["timeline.e9", "timeline.e1.outcome"])
    assert both.timeline[0].plain()["outcome"] == "half speed"
    assert both.timeline[0].at == mine.timeline[0].at


def test_everything_can_be_taken_but_what_is_the_books() -> None:
    mine, theirs = versions(notes="theirs", lesson="x", state="withdrawn", sign_off=None)
    taken = settle(mine, theirs, ["*"])
    assert clash_fields(taken, theirs) == ()
    assert (taken.vehicle_ref, taken.number) == (mine.vehicle_ref, mine.number)


def test_unknown_fields_and_impossible_choices_are_refused() -> None:
    mine, theirs = versions(notes="theirs")
    with pytest.raises(InputError, match="clash_field_unknown"):
        settle(mine, theirs, ["lesson"])
    other = case(id=ID, timeline=[{"id": "x", "kind": "note"}], retest=[])
    with pytest.raises(DocumentFaults):
        settle(mine, other, ["timeline.e1"])
