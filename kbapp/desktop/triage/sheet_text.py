"""What a call asks of the book while it is written, and how it is read back from a draft."""

from kbapp.app.triage import TriageSheet
from kbapp.lookup.question import Question
from kbapp.records.case import Case
from kbapp.records.symptoms import symptom


def question_of_call(sheet: TriageSheet) -> Question:
    """Returns the question that asks for cases like a call."""
    vehicle = sheet.vehicle
    found = next((item for item in map(symptom, sheet.symptoms) if item), None)
    return Question(
        text=" ".join(sheet.concern.split()), symptoms=sheet.symptoms, system=found.system if found else None,
        make=vehicle.make, family=vehicle.family, generation=vehicle.generation, engine=vehicle.engine,
        parts_tried=tuple(part.part for part in sheet.parts), limit=6,
    )  # fmt: skip


def question_of_case(case: Case) -> Question:
    """Returns the question that asks with everything a recorded case knows."""
    from kbapp.app.board import question_of

    return question_of(case)


def sheet_of_draft(text: str) -> TriageSheet:
    """Returns the call in a draft; what cannot be read stands in the concern, so that nothing is lost."""
    try:
        return TriageSheet.model_validate_json(text)
    except ValueError:
        return TriageSheet(concern=text)
