import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.app.draft_lines import (
    conditions_of,
    figure_text,
    figures_of,
    fresh_id,
    number,
    part_text,
    parts_of,
    shown,
    slug,
    substitute_text,
    substitutes_of,
)  # fmt: skip
from kbapp.app.drafting import Draft, Piece, copied_map, empty_map, piece_of
from kbapp.maps.shipped import shipped_ids, shipped_map
from kbapp.records.likelihood import likelihoods
from kbapp.records.map_document import canonical_map, check_map

names = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Cf")), min_size=1, max_size=30).filter(
    lambda name: bool(name.strip())
)


@st.composite
def drafts(draw: st.DrawFn) -> Draft:
    draft = Draft(empty_map(draw(names), ()))
    sections = draw(st.lists(names, min_size=1, max_size=5))
    for name in sections:
        draft.add("section", name)
    ids = list(draft.names("section"))
    for name in draw(st.lists(names, max_size=4)):
        piece = draft.add("test", name)
        draft.set(*piece.path, "outcomes", 0, "name", to="yes")
        draft.set(*piece.path, "outcomes", 1, "name", to="no")
        pointed = draw(st.lists(st.sampled_from(ids), unique=True, min_size=1, max_size=len(ids)))
        draft.set(*piece.path, "outcomes", 0, "points_to", to=pointed)
        draft.set(*piece.path, "run_minutes", to=draw(st.sampled_from([2.0, 7.5])))
    for place in range(len(ids)):
        draft.set("sections", place, "feeds", to=draw(st.lists(st.sampled_from(ids), unique=True, max_size=2)))
        draft.set("sections", place, "prior", to=draw(st.sampled_from([2.0, 15.0, 0.5])))
    return draft


@settings(max_examples=40, deadline=None)
@given(drafts())
def test_a_drafted_map_survives_being_kept(draft: Draft) -> None:
    again = Draft.from_text(draft.to_text())
    assert again is not None
    assert again.document == draft.document
    found, before = again.check(), draft.check()
    assert found.faults == before.faults
    if found.section_map is not None:
        kept = check_map(json.loads(canonical_map(found.section_map))).value
        assert kept == found.section_map
        assert Draft(kept.plain(), 1).check().section_map == kept


@settings(max_examples=30, deadline=None)
@given(drafts(), st.data())
def test_steps_are_undone_one_by_one_and_done_again(draft: Draft, data: st.DataObject) -> None:
    start = draft.document
    piece = Piece("section", data.draw(st.integers(0, len(draft.items("sections")) - 1)))
    gone = draft.text(*piece.path, "id")
    draft.remove(piece)
    assert not any(gone in section.get("feeds", []) for section in draft.items("sections"))
    after = draft.document
    assert draft.undo()
    assert draft.document == start
    assert draft.redo()
    assert draft.document == after
    while draft.undo():
        pass
    assert draft.document["sections"] == []


def test_typing_on_in_one_field_is_one_step() -> None:
    draft = Draft(empty_map("Hard start", ()))
    piece = draft.add("section", "Pump")
    for text in ("P", "Pu", "Pump", "Pump and relay"):
        draft.set(*piece.path, "name", to=text)
    draft.undo()
    assert draft.text(*piece.path, "name") == "Pump"
    draft.undo()
    assert draft.items("sections") == []


@pytest.mark.parametrize("map_id", shipped_ids())
def test_a_copy_of_every_shipped_map_is_sound_and_its_lines_come_back(map_id: str) -> None:
    section_map = shipped_map(map_id)
    draft = Draft(copied_map(section_map, "Hexley", "Copy", "copied", shipped_ids()))
    assert draft.document["id"] == f"{map_id}-hexley"
    assert draft.check().faults == ()
    for section in draft.items("sections"):
        parts = section.get("parts", [])
        assert parts_of(part_text(parts), parts, {}) == parts
    ids = {name.casefold(): section for section, name in draft.names("section").items()}
    for test in draft.items("tests"):
        substitutes = test.get("substitutes", [])
        kept = substitutes_of(substitute_text(substitutes), substitutes)
        assert [{**s, "strength": s.get("strength", "weak")} for s in substitutes] == kept
        assert conditions_of(
            "\n".join(c["name"] for c in test.get("conditions", [])), test.get("conditions", [])
        ) == test.get("conditions", [])
        for outcome in test["outcomes"]:
            table = outcome.get("likelihood", {})
            assert figures_of(figure_text(table, draft.names("section")), ids) == table


@pytest.mark.parametrize("map_id", ["misfire", "brake-low-pedal", "charging"])
def test_figures_of_their_own_say_the_same_as_pointing(map_id: str) -> None:
    section_map = shipped_map(map_id)
    draft = Draft(section_map.plain(), 1)
    place = next(n for n, test in enumerate(section_map.tests) if test.outcomes[0].points_to)
    draft.own_figures(place)
    made = draft.check().section_map
    assert made is not None
    for row, other in zip(
        likelihoods(section_map, section_map.tests[place]), likelihoods(made, made.tests[place]), strict=True
    ):
        assert row == pytest.approx(other)


def test_moving_keeps_everything_but_the_order() -> None:
    draft = Draft(shipped_map("misfire").plain(), 1)
    first = draft.text("sections", 0, "id")
    assert draft.move(Piece("section", 0), -1) == Piece("section", 0)
    assert draft.move(Piece("section", 0), 1) == Piece("section", 1)
    assert draft.text("sections", 1, "id") == first
    assert draft.check().faults == ()


def test_faults_lead_to_their_piece() -> None:
    assert piece_of("sections.3.prior") == Piece("section", 3)
    assert piece_of("tests.0.outcomes.1.points_to") == Piece("test", 0)
    assert piece_of("sections") == Piece("map")
    assert piece_of("not_on_map") == Piece("map")


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"map": 3, "based_on": 1}', '{"map": {"id": "a"}}'])
def test_what_is_no_draft_is_none(text: str) -> None:
    assert Draft.from_text(text) is None


@pytest.mark.parametrize(
    "document",
    [{"id": "a"}, {"id": "a", "sections": 3, "tests": {}}, {"id": "a", "sections": [3], "tests": [{"outcomes": [1]}]}],
)
def test_a_damaged_draft_can_still_be_drawn(document: dict[str, Any]) -> None:
    draft = Draft.from_text(json.dumps({"map": document, "based_on": None}))
    assert draft is not None
    draft.add("section", "Pump")
    draft.add("test", "Listen")
    assert draft.check().faults


def test_words_and_figures() -> None:
    assert (slug("Front brake, LF (hose)"), slug("弁"), fresh_id("a", ["a", "a_2"])) == (
        "front_brake_lf_hose",
        "",
        "a_3",
    )
    assert (number(" 7,5 "), number(""), number("ten"), shown(7.5), shown(3.0), shown("ten")) == (
        7.5,
        None,
        "ten",
        "7.5",
        "3",
        "ten",
    )
