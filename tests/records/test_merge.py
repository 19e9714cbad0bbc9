import copy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.records.case import Case
from kbapp.records.case_document import check_case
from kbapp.records.consistency import consistency_faults
from kbapp.records.merge import Conflict, Difference, differences, merge
from tests.records.documents import case, full


def _full(**fields: Any) -> Case:
    return check_case({**full(), **fields}).unwrap()


def _test(name: str, **fields: Any) -> dict[str, Any]:
    return {"id": name, "kind": "test", "test": "volts", **fields}


def _note(name: str, text: str = "", **fields: Any) -> dict[str, Any]:
    return {"id": name, "kind": "note", "text": text, **fields}


def _paths(base: Case, mine: Case, theirs: Case) -> list[str]:
    result = merge(base, mine, theirs)
    assert (result.case is None) == bool(result.conflicts)
    swapped = merge(base, theirs, mine)
    assert {c.path for c in swapped.conflicts} == {c.path for c in result.conflicts}
    return [conflict.path for conflict in result.conflicts]


def _merged(base: Case, mine: Case, theirs: Case) -> Case:
    result = merge(base, mine, theirs)
    assert result.conflicts == ()
    assert result.case is not None
    return result.case


def test_different_fields_merge() -> None:
    base = case(lesson="a")
    merged = _merged(base, case(lesson="b"), case(lesson="a", notes="n", vehicle={"make": "Kestrow"}))
    assert (merged.lesson, merged.notes, merged.vehicle and merged.vehicle.make) == ("b", "n", "Kestrow")


def test_the_same_field_changed_in_two_ways_clashes() -> None:
    result = merge(case(lesson="a"), case(lesson="b"), case(lesson="c"))
    assert result.conflicts == (Conflict("lesson", "a", "b", "c"),)
    assert _paths(case(lesson="a"), case(), case(lesson="c")) == ["lesson"]
    assert _merged(case(lesson="a"), case(lesson="b"), case(lesson="b")).lesson == "b"


def test_added_lines_never_clash() -> None:
    base = case(timeline=[_note("e1"), _note("e2")])
    mine = case(timeline=[_note("e1"), _note("m1"), _note("e2"), _note("m2"), _note("m3")])
    theirs = case(timeline=[_note("e1"), _note("e2"), _note("t1")])
    assert [line.id for line in _merged(base, mine, theirs).timeline] == ["e1", "m1", "e2", "t1", "m2", "m3"]
    assert [line.id for line in _merged(case(), mine, theirs).timeline][:2] == ["e1", "e2"]


def test_two_lines_that_were_given_one_id_are_both_kept() -> None:
    base = case(timeline=[_test("e1")])
    mine = case(
        timeline=[
            _test("e1"),
            _test("e2", by="IK", outcome="11.8 V"),
            _test("e3", by="IK", repeat_of="e2", supersedes="e2"),
            {"id": "e4", "kind": "part", "part": "fuse", "by": "IK", "guard": {"evidence": ["e1", "e2"]}},
        ],
        retest=[{"id": "r1", "repeats": "e2"}],
        attachments=[{"sha256": "0" * 64, "name": "a.jpg", "entry": "e2"}],
    )
    theirs = case(timeline=[_test("e1"), _test("e2", by="RA", outcome="12.4 V")])
    merged = _merged(base, mine, theirs).plain()
    assert [(line["id"], line.get("outcome")) for line in merged["timeline"]] == [
        ("e1", None),
        ("e2", "12.4 V"),
        ("e5", "11.8 V"),
        ("e3", None),
        ("e4", None),
    ]
    assert (merged["timeline"][3]["repeat_of"], merged["timeline"][3]["supersedes"]) == ("e5", "e5")
    assert merged["timeline"][4]["guard"]["evidence"] == ["e1", "e5"]
    assert (merged["retest"][0]["repeats"], merged["attachments"][0]["entry"]) == ("e5", "e5")


def test_the_same_new_line_saved_twice_is_one_line() -> None:
    line = _test("e1", by="IK", at="2026-03-02T09:10:00+01:00")
    merged = _merged(case(), case(timeline=[{**line, "why": "retry"}]), case(timeline=[line]))
    assert [entry.id for entry in merged.timeline] == ["e1"]
    assert _paths(case(), case(timeline=[{**line, "outcome": "a"}]), case(timeline=[{**line, "outcome": "b"}])) == [
        "timeline.e1.outcome"
    ]


def test_a_retest_and_a_line_of_one_id_are_kept_apart() -> None:
    merged = _merged(case(), case(retest=[{"id": "x", "by": "IK"}]), case(timeline=[_note("x")]))
    assert (merged.timeline[0].id, merged.retest[0].id) == ("x", "x1")


def test_a_line_removed_here_and_changed_or_named_there_clashes() -> None:
    base = case(timeline=[_test("e1"), _test("e2")])
    removed = case(timeline=[_test("e2")])
    assert _paths(base, removed, case(timeline=[_test("e1", outcome="low"), _test("e2")])) == ["timeline.e1"]
    named = case(timeline=[_test("e1"), _test("e2"), _test("e3", repeat_of="e1")])
    assert merge(base, removed, named).conflicts == (
        Conflict("timeline.e1", base.plain()["timeline"][0], None, base.plain()["timeline"][0]),
    )
    assert _paths(base, removed, named) == ["timeline.e1"]
    assert _paths(base, removed, case(timeline=[_test("e1"), _test("e2")], retest=[{"id": "r1", "repeats": "e1"}])) == [
        "timeline.e1"
    ]
    assert _merged(base, removed, base) == removed


def test_a_removed_retest_that_is_named_clashes_at_its_place() -> None:
    base = case(retest=[{"id": "r1"}])
    file = {"sha256": "0" * 64, "name": "a.jpg", "entry": "r1"}
    assert _paths(base, case(), case(retest=[{"id": "r1"}], attachments=[file])) == ["retest.r1"]


def test_tests_that_would_supersede_each_other_clash() -> None:
    base = case(timeline=[_test("e1"), _test("e2")])
    mine = case(timeline=[_test("e1", supersedes="e2"), _test("e2")])
    theirs = case(timeline=[_test("e1"), _test("e2", supersedes="e1")])
    assert set(_paths(base, mine, theirs)) == {"timeline.e1.supersedes", "timeline.e2.supersedes"}


def test_lines_moved_in_two_ways_clash_and_in_one_way_move() -> None:
    a, b, c = _note("a"), _note("b"), _note("c")
    base = case(timeline=[a, b, c])
    moved = case(timeline=[b, a, c])
    assert _merged(base, moved, case(timeline=[a, b, c, _note("d")])).timeline[0].id == "b"
    assert _merged(base, case(timeline=[a, b, c, _note("d")]), moved).timeline[0].id == "b"
    assert _paths(base, moved, case(timeline=[a, c, b])) == ["timeline"]


def test_one_statement_in_two_halves_clashes() -> None:
    base = case(timeline=[_test("e1", outcome="low")])
    unable = case(timeline=[_test("e1", outcome="low", status="unable")])
    other = case(timeline=[_test("e1", outcome="high")])
    assert set(_paths(base, unable, other)) == {"timeline.e1.outcome", "timeline.e1.status"}
    assert _merged(base, unable, case(timeline=[_test("e1", outcome="low", minutes=5)])).plain()["timeline"][0] == {
        "id": "e1",
        "kind": "test",
        "test": "volts",
        "outcome": "low",
        "status": "unable",
        "minutes": 5,
    }


def test_half_an_amount_clashes() -> None:
    def part(value: float, currency: str) -> Case:
        return case(
            timeline=[{"id": "e1", "kind": "part", "part": "x", "cost": {"value": value, "currency": currency}}]
        )

    assert _paths(part(60, "EUR"), part(70, "EUR"), part(60, "USD")) == ["timeline.e1.cost"]


def test_a_line_that_became_another_kind_clashes_with_its_change() -> None:
    base = case(timeline=[{"id": "e1", "kind": "part", "part": "fuse"}])
    changed = case(timeline=[{"id": "e1", "kind": "part", "part": "fuse", "effect": "gone"}])
    assert _paths(base, case(timeline=[_note("e1", "fuse")]), changed) == ["timeline.e1"]


def test_a_signature_clashes_with_a_change_of_what_it_vouches_for() -> None:
    base = _full(state="repaired", sign_off=None)
    signed = _full()
    assert _paths(base, signed, _full(state="repaired", sign_off=None, cause={"text": "another"})) == ["sign_off"]
    assert _paths(
        base, signed, _full(state="repaired", sign_off=None, timeline=full()["timeline"][:5] + full()["timeline"][6:])
    ) == ["sign_off"]
    noted = _full(state="repaired", sign_off=None, timeline=[*full()["timeline"], _note("e10")], lesson="other")
    merged = _merged(base, signed, noted)
    assert (merged.state, merged.timeline[-1].id, merged.lesson) == ("proved", "e10", "other")


def test_codes_are_matched_by_code_and_module() -> None:
    base = case(codes=[{"code": "P0171", "module": "ECM", "status": "stored"}])
    pending = case(codes=[{"code": "P0171", "module": "ECM", "status": "pending"}, {"code": "P0174"}])
    assert _merged(base, pending, case(codes=[*base.plain()["codes"], {"code": "C0035"}])).plain()["codes"] == [
        {"code": "P0171", "status": "pending", "module": "ECM"},
        {"code": "C0035"},
        {"code": "P0174"},
    ]
    permanent = case(codes=[{"code": "P0171", "module": "ECM", "status": "permanent"}])
    assert _paths(base, pending, permanent) == ["codes.P0171 ECM.status"]


def test_symptoms_conditions_and_links_merge_as_sets() -> None:
    def with_symptoms(*symptoms: str) -> Case:
        return case(concern={"text": "x", "symptoms": symptoms})

    merged = _merged(with_symptoms("a", "b"), with_symptoms("b", "c"), with_symptoms("a", "b", "d"))
    assert merged.concern.symptoms == ("b", "d", "c")


def test_lists_two_people_add_to_grow() -> None:
    base = case(follow_ups=[{"text": "a"}])
    merged = _merged(
        base, case(follow_ups=[{"text": "a"}, {"text": "m"}]), case(follow_ups=[{"text": "a"}, {"text": "t"}])
    )
    assert [one.text for one in merged.follow_ups] == ["a", "t", "m"]
    assert _paths(base, case(follow_ups=[{"text": "m"}]), case(follow_ups=[{"text": "a"}, {"text": "t"}])) == [
        "follow_ups"
    ]


def test_a_file_attached_twice_stays_attached_twice() -> None:
    file = {"sha256": "0" * 64, "name": "a.jpg"}
    base = case(attachments=[file, {**file, "name": "b.jpg"}])
    mine = case(attachments=[*base.plain()["attachments"], {**file, "name": "c.jpg"}])
    merged = _merged(base, mine, case(attachments=base.plain()["attachments"], notes="n", timeline=[_note("e1")]))
    assert [one.name for one in merged.attachments] == ["a.jpg", "b.jpg", "c.jpg"]


@pytest.mark.parametrize("name", ["timeline", "codes", "cost", "a.b", "cause", "e1.outcome"])
def test_lines_may_be_called_anything(name: str) -> None:
    base = case(timeline=[_test(name)])
    merged = _merged(base, case(timeline=[_test(name, minutes=5)]), case(timeline=[_test(name, isolates="lf")]))
    assert merged.plain()["timeline"][0]["isolates"] == "lf"
    assert differences(base, merged) == (
        Difference(f"timeline.{name}.isolates", None, "lf"),
        Difference(f"timeline.{name}.minutes", None, 5),
    )


def test_differences_name_fields_lines_and_order() -> None:
    base = _full()
    changed = _full(lesson="", timeline=[full()["timeline"][1], full()["timeline"][0], *full()["timeline"][2:]])
    assert differences(base, base) == ()
    assert differences(base, changed) == (
        Difference("timeline", [f"e{n}" for n in range(1, 10)], ["e2", "e1", *(f"e{n}" for n in range(3, 10))]),
        Difference("lesson", base.lesson, None),
    )


_TEXT = st.sampled_from(["", "a", "b"])
_LINES = st.lists(
    st.one_of(
        st.builds(_note, st.sampled_from("abcd"), _TEXT, by=st.sampled_from(["IK", "RA"])),
        st.builds(
            _test,
            st.sampled_from("abcd"),
            outcome=_TEXT,
            by=st.sampled_from(["IK", "RA"]),
            repeat_of=st.none() | st.sampled_from("abcd"),
        ),
    ),
    max_size=4,
)
_CASES = (
    st.fixed_dictionaries(
        {
            "lesson": _TEXT,
            "state": st.sampled_from(["open", "repaired"]),
            "timeline": _LINES,
            "codes": st.lists(
                st.sampled_from([{"code": "P0171"}, {"code": "P0171", "status": "stored"}, {"code": "C0035"}]),
                max_size=3,
            ),
            "sign_off": st.none() | st.builds(lambda by: {"by": by}, st.sampled_from(["MH", "PB"])),
            "retest": st.lists(st.builds(lambda name: {"id": name}, st.sampled_from("ar")), max_size=2),
        }
    )
    .map(lambda fields: check_case(case().plain() | copy.deepcopy(fields)).value)
    .filter(lambda found: found is not None)
)


@settings(max_examples=80)
@given(_CASES, _CASES, _CASES)
def test_a_merge_never_contradicts_itself_and_loses_no_line(base: Case, mine: Case, theirs: Case) -> None:
    result = merge(base, mine, theirs)
    assert (result.case is None) == bool(result.conflicts)
    assert {c.path for c in merge(base, theirs, mine).conflicts} == {c.path for c in result.conflicts}
    if result.case is not None:
        assert consistency_faults(result.case) == ()
        assert check_case(result.case.plain()).value == result.case
        ids = {line.id for line in base.timeline}
        added = [side for side in (mine, theirs) for line in side.timeline if line.id not in ids]
        assert len(result.case.timeline) >= len(added) / 2


@settings(max_examples=40)
@given(_CASES, _CASES)
def test_one_side_alone_is_taken_as_it_is(base: Case, changed: Case) -> None:
    assert merge(base, changed, base).case == changed
    assert merge(base, base, changed).case == changed
    assert merge(base, changed, changed).case == changed
    assert (differences(base, changed) == ()) == (base == changed)
