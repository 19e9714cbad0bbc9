"""A call becomes an open case; nothing that says who called is in it."""

import pytest

from kbapp.app.case_fields import field_text
from kbapp.app.concern_terms import terms_in
from kbapp.app.triage import Answered, PartTold, TriageSheet, VehicleTold, case_from_triage
from kbapp.app.vehicle_names import VehicleNames
from kbapp.errors import InputError
from kbapp.records.case import Shop
from kbapp.records.fault import DocumentFaults
from kbapp.records.private import PrivateDetails
from kbapp.records.symptoms import symptoms
from kbapp.records.triage_questions import ALWAYS, QUESTIONS, questions_for
from kbapp.wording.triage_words import QUESTION_WORDS, TELL, question_words

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
PRIVATE = PrivateDetails(customer="Orchard Garage", phone="0555 0134", plate="WL 4182", order_number="17-204")
SHEET = TriageSheet(
    concern="pedal sinks",
    symptoms=("sinking pedal",),
    vehicle=VehicleTold(make="Kestrow", model_year="2018", odometer="61 200 km"),
    parts=(PartTold(part="master cylinder", position="front", effect="unchanged"), PartTold(part=" ")),
    codes="C0040 stored ABS",
    equipment="gauge",
    answers=(Answered(question="Held down?", answer="sinks"), Answered(question="Engine off?", answer=" ")),
    private=PRIVATE,
)


def test_everything_told_has_its_place() -> None:
    made = case_from_triage(SHEET, SHOP, "IK")
    case = made.case
    assert (case.state, case.concern.system) == ("open", "brakes_hydraulic")
    assert field_text(case, "vehicle.odometer") == "61 200 km"
    assert [line.plain() for line in case.timeline] == [
        {"id": "e1", "kind": "part", "source": "reported", "part": "master cylinder", "position": "front",
         "effect": "unchanged"}
    ]  # fmt: skip
    assert "- Held down? **sinks**" in case.notes
    assert "Engine off?" not in case.notes
    assert made.private == PRIVATE
    for secret in PRIVATE.plain().values():
        assert secret not in case.model_dump_json()


def test_only_the_concern_is_needed() -> None:
    assert case_from_triage(TriageSheet(concern="stalls"), SHOP, "").case.plain().keys() == {
        "format", "id", "shop", "state", "opened", "concern",
    }  # fmt: skip
    with pytest.raises(InputError) as refused:
        case_from_triage(TriageSheet(concern=" "), SHOP, "")
    assert refused.value.code == "triage_without_concern"


def test_fields_that_cannot_be_taken_are_told_all_at_once() -> None:
    told = VehicleTold(model_year="20x9", odometer="a lot")
    with pytest.raises(DocumentFaults) as refused:
        case_from_triage(TriageSheet(concern="stalls", vehicle=told), SHOP, "")
    assert {fault.path for fault in refused.value.faults} == {"vehicle.model_year", "vehicle.odometer"}


def test_a_sheet_survives_its_draft() -> None:
    assert TriageSheet.model_validate_json(SHEET.model_dump_json(exclude_defaults=True)) == SHEET


def test_every_concern_has_questions_of_its_own_and_every_question_words() -> None:
    assert len(QUESTIONS) >= 10
    assert {(found.system, found.group) for found in symptoms()} >= set(QUESTIONS)
    ids = {name for names in QUESTIONS.values() for name in names} | set(ALWAYS)
    assert ids == set(QUESTION_WORDS)
    assert all(question_words(name).endswith("?") for name in ids)
    for found in symptoms():
        assert len(questions_for([found.term])) >= 4, found.term
    assert set(TELL) <= {found.system for found in symptoms()}


def test_questions_come_once_and_the_first_symptom_leads() -> None:
    asked = questions_for(["sinking pedal", "hot wheel"])
    assert asked[0] == "pedal_pumped"
    assert "drag_frees" in asked
    assert len(set(asked)) == len(asked)
    assert questions_for(["something else"]) == ALWAYS


@pytest.mark.parametrize(
    ("text", "terms"),
    [
        ("brake pedal sinks to the floor while held", {"sinking pedal"}),
        ("pedal goes to the floor", {"low pedal", "sinking pedal"}),
        ("misfires under load", {"misfire under load"}),
        ("the radio is fine", set()),
    ],
)
def test_the_trades_terms_are_read_out_of_words(text: str, terms: set[str]) -> None:
    assert set(terms_in(text)) == terms


def test_vehicles_of_the_book_complete_each_other() -> None:
    names = VehicleNames.of(
        ("Kestrow", "Kestrow", "Brennick"), ("Lindle", "Marrick", "Drovane"), ("1", "2", ""), ("K15P", "K20D", "B20D")
    )
    assert names.offered("family", {"make": "kestrow"}) == ("Lindle", "Marrick")
    assert names.offered("family", {"make": "nobody"}) == ("Drovane", "Lindle", "Marrick")
    assert names.follows("make", {"family": "Drovane"}) == "Brennick"
    assert names.follows("engine", {"make": "Kestrow"}) == ""
