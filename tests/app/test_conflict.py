"""Two versions of one case become one by picking; what only one side changed is taken in from both."""

from typing import Any

from kbapp.app.conflict import Dispute
from kbapp.records.case import Case
from kbapp.records.case_document import check_case
from kbapp.records.merge import merge

BASE: dict[str, Any] = {
    "format": "provebook-case/1", "id": "5d8f1f0e-3c1b-4d57-8a63-6f1f0a1c9b42", "number": "2026-0001", "state": "open",
    "concern": {"text": "hot in traffic", "symptoms": ["overheats in traffic"]}, "lesson": "none yet",
    "vehicle": {"make": "Brennick"},
    "timeline": [
        {"id": "e1", "kind": "part", "part": "thermostat", "effect": "unchanged"},
        {"id": "e2", "kind": "note", "text": "bled twice"},
    ],
}  # fmt: skip


def _case(**changes: Any) -> Case:
    return check_case({**BASE, **changes}).unwrap()


def _lines(*changes: dict[str, Any]) -> list[dict[str, Any]]:
    return [{**line, **change} for line, change in zip(BASE["timeline"], changes, strict=False)]


def _dispute(mine: Case, theirs: Case) -> Dispute:
    merged = merge(_case(), mine, theirs)
    assert merged.case is None
    return Dispute(_case(), mine, theirs, 7, merged.conflicts)


def _settled(dispute: Dispute, **picks: str) -> Case:
    result = dispute.settled({path.replace("__", "."): side for path, side in picks.items()})  # type: ignore[misc]
    assert not isinstance(result, Dispute)
    return result.unwrap()


def test_a_field_is_taken_from_the_side_that_was_picked() -> None:
    mine = _case(lesson="mine", concern={**BASE["concern"], "began": "in May"})
    theirs = _case(lesson="theirs", vehicle={"make": "Brennick", "family": "Drovane"})
    dispute = _dispute(mine, theirs)
    assert [conflict.path for conflict in dispute.conflicts] == ["lesson"]
    for side in ("mine", "theirs"):
        case = _settled(dispute, lesson=side)
        assert case.lesson == side
        assert case.concern.began == "in May"
        assert case.vehicle is not None
        assert case.vehicle.family == "Drovane"


def test_a_field_of_a_line_is_taken_from_the_side_that_was_picked() -> None:
    dispute = _dispute(
        _case(timeline=_lines({"effect": "better"}, {})), _case(timeline=_lines({"effect": "worse"}, {}))
    )
    assert [conflict.path for conflict in dispute.conflicts] == ["timeline.e1.effect"]
    assert _settled(dispute, timeline__e1__effect="mine").timeline[0].plain()["effect"] == "better"
    assert _settled(dispute, timeline__e1__effect="theirs").timeline[0].plain()["effect"] == "worse"


def test_a_line_one_side_took_out_comes_back_or_goes() -> None:
    dispute = _dispute(_case(timeline=_lines({})[:1]), _case(timeline=_lines({}, {"text": "bled three times"})))
    path = dispute.conflicts[0].path
    assert path == "timeline.e2"
    kept = dispute.settled({path: "theirs"})
    assert not isinstance(kept, Dispute)
    assert [line.id for line in kept.unwrap().timeline] == ["e1", "e2"]
    gone = dispute.settled({path: "mine"})
    assert not isinstance(gone, Dispute)
    assert [line.id for line in gone.unwrap().timeline] == ["e1"]


def test_lines_moved_in_two_ways_take_one_order() -> None:
    three = [*BASE["timeline"], {"id": "e3", "kind": "note", "text": "third"}]
    base = _case(timeline=three)
    mine = _case(timeline=[three[2], three[0], three[1]])
    theirs = _case(timeline=[three[1], three[0], three[2]])
    merged = merge(base, mine, theirs)
    assert [conflict.path for conflict in merged.conflicts] == ["timeline"]
    dispute = Dispute(base, mine, theirs, 7, merged.conflicts)
    picked = dispute.settled({"timeline": "mine"})
    assert not isinstance(picked, Dispute)
    assert [line.id for line in picked.unwrap().timeline] == ["e3", "e1", "e2"]


def test_a_field_one_side_emptied_can_stay_empty() -> None:
    dispute = _dispute(_case(lesson=""), _case(lesson="theirs"))
    assert _settled(dispute, lesson="mine").lesson == ""
    assert _settled(dispute, lesson="theirs").lesson == "theirs"
