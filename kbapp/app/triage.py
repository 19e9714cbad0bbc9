"""Phone triage: what a caller tells becomes an open case at once; who they are goes into the private record only."""

import uuid
from dataclasses import dataclass, field

from kbapp.app.case_fields import odometer_from_text
from kbapp.app.codes_text import codes_from_text
from kbapp.errors import InputError
from kbapp.records.base import Record, clean_text
from kbapp.records.case import CASE_FORMAT, Case, Shop
from kbapp.records.case_document import check_case
from kbapp.records.moment import instant_now
from kbapp.records.private import PrivateDetails
from kbapp.records.symptoms import symptom
from kbapp.records.timeline import Effect


class PartTold(Record):
    """A part that was fitted before the call, and what it changed."""

    part: str
    position: str = ""
    effect: Effect | None = None


class Answered(Record):
    """A question that was asked, in words, and its answer."""

    question: str
    answer: str


class VehicleTold(Record):
    """The vehicle as it was told; year and distance as typed."""

    make: str = ""
    family: str = ""
    generation: str = ""
    engine: str = ""
    model_year: str = ""
    odometer: str = ""


class TriageSheet(Record):
    """Everything asked on the phone; only the concern is needed. ``codes`` may be a pasted scan report."""

    concern: str = ""
    symptoms: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    began: str = ""
    last_good: str = ""
    vehicle: VehicleTold = VehicleTold()
    vehicle_ref: str = ""
    parts: tuple[PartTold, ...] = ()
    codes: str = ""
    equipment: str = ""
    answers: tuple[Answered, ...] = ()
    private: PrivateDetails = PrivateDetails()

    @property
    def blank(self) -> bool:
        """Whether nothing is written."""
        return not self.plain()


@dataclass(frozen=True, slots=True)
class Headings:
    """The headings under which answers stand in the notes, in the shop's language."""

    asked: str = "Asked on the phone"
    equipment: str = "What their equipment can do"


@dataclass(frozen=True, slots=True)
class Triaged:
    """A case made on the phone and what is kept private about it."""

    case: Case
    private: PrivateDetails = field(default_factory=PrivateDetails)


def case_from_triage(sheet: TriageSheet, shop: Shop, author: str, headings: Headings | None = None) -> Triaged:
    """Returns an open case, with its private details apart.

    Raises:
        InputError: ``triage_without_concern``.
        DocumentFaults: a field cannot be taken (such as a model year that is none); all of them are carried.
    """
    if not sheet.concern.strip():
        raise InputError("triage_without_concern")
    now = instant_now()
    document = {
        "format": CASE_FORMAT,
        "id": str(uuid.uuid4()),
        "shop": shop.plain(),
        "state": "open",
        "opened": now,
        "vehicle_ref": clean_text(sheet.vehicle_ref, lines=False),
        "concern": _concern(sheet),
        "codes": [code.plain() for code in codes_from_text(sheet.codes)],
        "timeline": [_part(n, part) for n, part in enumerate(sheet.parts, 1) if part.part.strip()],
        "notes": _notes(sheet, headings or Headings()),
    }
    vehicle = _vehicle(sheet.vehicle)
    if vehicle:
        document["vehicle"] = vehicle
    case = check_case(document).unwrap(author or shop.name)
    return Triaged(case, sheet.private)


def _concern(sheet: TriageSheet) -> dict[str, object]:
    known = next((found for found in map(symptom, sheet.symptoms) if found), None)
    concern: dict[str, object] = {
        "text": clean_text(sheet.concern), "symptoms": list(sheet.symptoms), "conditions": list(sheet.conditions),
        "began": clean_text(sheet.began), "last_good": clean_text(sheet.last_good),
    }  # fmt: skip
    if known:
        concern["system"] = known.system
    return concern


def _vehicle(told: VehicleTold) -> dict[str, object]:
    vehicle: dict[str, object] = {
        name: clean_text(getattr(told, name), lines=False) for name in ("make", "family", "generation", "engine")
    }
    year = told.model_year.strip()
    if year:
        vehicle["model_year"] = int(year) if year.isdigit() else year
    if told.odometer.strip():
        odometer = odometer_from_text(told.odometer)
        vehicle["odometer"] = odometer.plain() | {"value": odometer.value} if odometer else told.odometer.strip()
    return {name: value for name, value in vehicle.items() if value not in ("", None)}


def _part(n: int, told: PartTold) -> dict[str, object]:
    part: dict[str, object] = {
        "id": f"e{n}", "kind": "part", "part": clean_text(told.part, lines=False), "source": "reported",
    }  # fmt: skip
    if told.position:
        part["position"] = clean_text(told.position, lines=False)
    if told.effect:
        part["effect"] = told.effect
    return part


def _notes(sheet: TriageSheet, headings: Headings) -> str:
    answers = [
        f"- {' '.join(answered.question.split())} **{' '.join(answered.answer.split())}**"
        for answered in sheet.answers
        if answered.answer.strip()
    ]
    blocks = [f"### {headings.asked}\n\n" + "\n".join(answers)] if answers else []
    if sheet.equipment.strip():
        blocks.append(f"### {headings.equipment}\n\n{clean_text(sheet.equipment)}")
    return "\n\n".join(blocks)
