"""A repaired case, with and without its proof, for the tests of what comes after a repair."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from uuid import uuid4

from kbapp.app.people import People, Roster, roster_of
from kbapp.app.session import Session
from kbapp.records.case import Case
from kbapp.records.case_document import check_case
from kbapp.store.book import create_book
from tests.store.sample import SHOP

BASELINE: dict[str, Any] = {
    "id": "e1", "kind": "test", "at": "2026-06-03T10:05:00+02:00", "by": "IK", "test": "radiator spread",
    "outcome": "cold outlet", "conditions": [{"id": "warm_engine", "met": True}],
    "readings": [{"where": "inlet", "value": 104, "unit": "degC", "repeat": 1},
                 {"where": "outlet", "value": 41, "unit": "degC", "repeat": 1},
                 {"where": "inlet", "value": 105, "unit": "degC", "repeat": 2},
                 {"where": "outlet", "value": 43, "unit": "degC", "repeat": 2}],
}  # fmt: skip
PUMP: dict[str, Any] = {
    "id": "e2", "kind": "part", "at": "2026-06-04T14:00:00+02:00", "by": "IK", "part": "water pump", "effect": "gone",
    "found": "impeller turns on its shaft", "cost": {"value": 145, "currency": "EUR"}, "labour_minutes": 150,
}  # fmt: skip
RETEST: dict[str, Any] = {
    "id": "r1", "at": "2026-06-04T17:30:00+02:00", "by": "IK", "test": "radiator spread", "repeats": "e1",
    "outcome": "normal spread", "result": "passed", "conditions": [{"id": "warm_engine", "met": True}],
    "readings": [{"where": "inlet", "value": 92, "unit": "degC", "repeat": 1},
                 {"where": "outlet", "value": 78, "unit": "degC", "repeat": 1},
                 {"where": "inlet", "value": 93, "unit": "degC", "repeat": 2},
                 {"where": "outlet", "value": 79, "unit": "degC", "repeat": 2}],
}  # fmt: skip


def repaired(**fields: Any) -> Case:
    """Returns a repaired case by IK, ready to be proved; fields as in the document, None leaves one out."""
    document = {
        "format": "provebook-case/1",
        "id": str(uuid4()),
        "state": "repaired",
        "shop": SHOP.plain(),
        "opened": "2026-06-03",
        "vehicle_ref": "v-7f3a91",
        "vehicle": {"make": "Kestrow", "family": "Lindle", "generation": "2", "model_year": 2017, "engine": "K20D",
                    "odometer": {"value": 184000, "unit": "km"}},
        "concern": {"text": "Temperature climbs in traffic and drops once moving, two thermostats fitted elsewhere",
                    "system": "hvac_cooling", "symptoms": ["overheats in traffic"]},
        "timeline": [BASELINE, PUMP],
        "cause": {"text": "Water pump impeller slips on its shaft", "section": "flow", "part": "water pump"},
        "correction": {"text": "Water pump, coolant vacuum filled", "parts": [{"part": "water pump"}]},
        "retest": [RETEST],
        "lesson": "Cold outlet with a new thermostat: look at the pump.",
        **fields,
    }  # fmt: skip
    kept = {name: value for name, value in document.items() if value is not None}
    return check_case(json.loads(json.dumps(kept))).unwrap()


def book_with(folder: Path, *cases: Case, people: Mapping[str, str] | None = None, own_work: bool = False) -> Path:
    """Makes a book that holds cases, worked in by the people named (leads and technicians; MH leads by default)."""
    named = people if people is not None else {"lead": "MH", "technician": "IK RA"}
    with create_book(folder, SHOP, author="IK") as book:
        if named:
            roster = roster_of(Roster(), named["lead"], named["technician"], own_work=own_work)
            People(book, "IK").keep(roster, "")
        for case in cases:
            book.save(case, None)
    return folder


def revision(session: Session, case: Case) -> int:
    return session.case(case.id).revision
