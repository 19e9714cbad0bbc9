from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.isolation.economics import Economics
from kbapp.isolation.lesson import Lesson, start_lesson
from kbapp.records.case import Case
from tests.isolation.examples import fitted, make_case, make_map, points, ran, section

ECONOMICS = Economics(labour_per_minute=2.0)
MAP = make_map(
    [
        section("mc", 3, cost=400),
        section("lf", 3, parts=[{"id": "hose", "name": "hose", "cost": 30, "labour_minutes": 20},
                                {"id": "caliper", "name": "caliper", "cost": 120, "labour_minutes": 40}]),
        section("rf", 3, cost=150),
    ],
    [points("plug", "mc"), points("hold", "lf"), points("hold_r", "rf"), points("press", "lf", "rf")],
    not_on_map=0.5,
)  # fmt: skip


def proved(*lines: dict[str, Any], section: str = "lf", **more: Any) -> Case:
    cause = {"text": "hose swells", "section": section, "part": "hose"}
    return make_case(*lines, **{"state": "proved", "cause": cause, "map": {"id": "m"}, **more})


CASE = proved(
    fitted("master cylinder", "mc", source="reported", cost={"value": 300, "currency": "EUR"}, labour_minutes=90),
    ran("hold_r", "no", source="reported"),
    ran("hold", minutes=12),
    fitted("caliper", "lf", cost={"value": 120, "currency": "EUR"}, labour_minutes=40),
    fitted("hose", "lf", effect="gone", cost={"value": 30, "currency": "EUR"}, labour_minutes=20),
)


def lesson(case: Case = CASE) -> Lesson:
    found = start_lesson(case, MAP, ECONOMICS)
    assert found is not None
    return found


def test_the_triage_is_told_and_the_answer_is_not() -> None:
    begun = lesson()
    assert [entry.id for entry in begun.triage] == ["e1", "e2"]
    assert {offer.id for offer in begun.tests} == {"plug", "hold", "press"}, "what the caller tested is told already"
    assert [offer.name for offer in begun.parts] == ["caliper", "hose", "MC", "RF", ""]
    assert not begun.solved
    assert sum(share for _, share in begun.known()) == pytest.approx(1)


def test_outcomes_come_from_the_record_and_else_from_the_map() -> None:
    after = lesson().run("hold").run("press").run("plug")
    assert [(move.outcome, move.source) for move in after.moves] == [("yes", "record"), ("yes", "map"), ("no", "map")]
    assert after.known()[0][0] == "lf"
    assert after.known()[0][1] > 0.9
    with pytest.raises(KeyError):
        after.run("hold")


def test_the_right_section_is_not_enough_where_the_record_names_the_part() -> None:
    after = lesson().fit("lf/caliper")
    assert (after.moves[-1].outcome, after.solved) == ("unchanged", False)
    done = after.fit("lf/hose")
    assert (done.moves[-1].outcome, done.solved) == ("gone", True)


def test_the_learner_beside_the_record_and_the_advice() -> None:
    compared = lesson().run("hold").fit("lf/hose").compare()
    assert (compared.learner.minutes, compared.learner.cost, compared.learner.parts_in_vain) == (30, 90, 0)
    assert (compared.record.minutes, compared.record.parts_in_vain) == (72, 1), "from the triage on"
    assert compared.record.cost == pytest.approx(24 + 120 + 80 + 30 + 40)
    assert compared.advised is not None
    assert compared.advised.found > 0.9


def test_saying_that_the_fault_is_not_on_the_map() -> None:
    off = lesson(proved(ran("hold", "no"), section="not_on_map"))
    assert off.fit("not_on_map").solved
    assert off.compare().advised is None
    assert not lesson().fit("not_on_map").solved


def test_a_case_without_a_map_is_played_by_its_record_with_decoys() -> None:
    case = proved(
        fitted("thermostat", source="reported"), ran("gas test", "negative", minutes=10), ran("gas test", "again"),
        fitted("radiator", cost={"value": 200, "currency": "EUR"}, labour_minutes=60), ran("flow", "none", minutes=20),
        fitted("pump", effect="gone", cost={"value": 90, "currency": "EUR"}, labour_minutes=100),
    )  # fmt: skip
    found = start_lesson(case, None, ECONOMICS, decoys=["fan", "Pump", "cap"])
    assert found is not None
    assert [offer.name for offer in found.tests] == ["flow", "gas test"]
    assert [offer.name for offer in found.parts] == ["cap", "fan", "pump", "radiator"]
    after = found.run("gas test").fit("cap").fit("pump")
    assert after.solved
    assert after.known() == ()
    assert after.moves[1].source == "unknown"
    compared = after.compare()
    assert (compared.record.minutes, compared.record.parts_in_vain) == (190, 1)
    assert (compared.learner.minutes, compared.learner.parts_in_vain) == (110, 1)


def test_where_no_part_cured_the_named_cause_stands_for_the_correction() -> None:
    case = proved(ran("drop", "2 V"), cause={"text": "ground eyelet loose", "part": "ground eyelet"})
    found = start_lesson(case, None)
    assert found is not None
    assert [(offer.name, offer.cures) for offer in found.parts] == [("ground eyelet", True)]


@pytest.mark.parametrize("more", [{"state": "open"}, {"cause": None}])
def test_only_proved_cases_teach(more: dict[str, Any]) -> None:
    assert start_lesson(proved(ran("hold"), **more), MAP) is None


def test_a_record_without_tests_teaches_nothing_without_a_map() -> None:
    assert start_lesson(proved(fitted("pump", effect="gone")), None) is None


@given(st.data())
@settings(max_examples=25)
def test_whatever_is_chosen_shares_sum_to_one_and_trying_everything_solves(data: st.DataObject) -> None:
    played = lesson()
    while not played.solved:
        choices = [*(("test", offer.id) for offer in played.tests), *(("part", offer.id) for offer in played.parts)]
        kind, name = data.draw(st.sampled_from(choices))
        before = played
        played = played.run(name) if kind == "test" else played.fit(name)
        assert len(before.moves) + 1 == len(played.moves)
        assert sum(share for _, share in played.known()) == pytest.approx(1)
    assert played.compare().learner.cost == pytest.approx(sum(move.cost for move in played.moves))
