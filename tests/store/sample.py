"""Small cases for the tests of the store."""

import json
from typing import Any
from uuid import UUID

from kbapp.records.case import CASE_FORMAT, Case, Shop
from kbapp.records.case_document import check_case

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
OTHER_SHOP = Shop(id="8d2e61f4-17c3-4f0a-b6a5-94e0c7d3aa25", name="Copperhill Auto Electrics")


def case_id(n: int) -> str:
    return str(UUID(int=0x5D8F1F0E << 96 | n << 64 | 0x4D57 << 48 | n))


def case(n: int = 1, /, **fields: Any) -> Case:
    """Returns the open case number ``n``; fields as in the document."""
    document = {
        "format": CASE_FORMAT,
        "id": case_id(n),
        "state": "open",
        "concern": {"text": f"concern {n}", "system": "brakes_hydraulic"},
        **fields,
    }
    return check_case(json.loads(json.dumps(document))).unwrap()


def changed(before: Case, **fields: Any) -> Case:
    """Returns the case with some fields of its document changed (None removes one)."""
    document = {**before.plain(), **fields}
    return check_case({key: value for key, value in document.items() if value is not None}).unwrap()


def full_case(n: int = 7, /, **fields: Any) -> Case:
    """Returns a proved case that fills every table of the projection."""
    return case(
        n,
        **{
            "state": "proved",
            "number": f"W-{n}",
            "shop": SHOP.plain(),
            "opened": "2026-06-03",
            "vehicle_ref": "v-7f3a91",
            "vehicle": {
                "make": "Kestrow", "family": "Lindle", "platform": "KM", "generation": "2", "model_year": 2017,
                "engine": "K20D", "odometer": {"value": 100000, "unit": "mi"},
            },
            "concern": {
                "text": "Sinkt das Pedal? Sinks slowly, 100 % firm at the second press_",
                "system": "brakes_hydraulic", "symptoms": ["sinking pedal", "soft on Mondays"],
                "conditions": ["braking"],
            },
            "codes": [{"code": "C0121", "status": "stored", "module": "ABS"}, {"code": "C0040"}],
            "map": {"id": "low-pedal", "version": 2},
            "timeline": [
                {"id": "e1", "kind": "part", "at": "2026-05", "by": "previous shop", "source": "reported",
                 "part": "brake hose", "position": "LF", "section": "front circuit", "effect": "unchanged",
                 "cost": {"value": 61.5, "currency": "EUR"}, "labour_minutes": 45},
                {"id": "e2", "kind": "service", "text": "bled"},
                {"id": "e3", "kind": "test", "at": "2026-06-03T09:40:00+02:00", "by": "IK", "test": "hold_pedal",
                 "isolates": "internal leak", "outcome": "sinks", "strength": "strong", "minutes": 5,
                 "readings": [{"where": "pedal", "value": 24, "unit": "mm"}]},
                {"id": "e4", "kind": "finding", "text": "past the seals", "sections": ["master cylinder"]},
                {"id": "e5", "kind": "note", "text": "see photo"},
            ],
            "cause": {"text": "worn master cylinder seals", "section": "master cylinder", "part": "master cylinder",
                      "position": "front", "separated": False},
            "correction": {"text": "replaced", "parts": [{"part": "master cylinder", "number": "MC 12"}]},
            "retest": [{"id": "r1", "test": "hold_pedal", "repeats": "e3", "outcome": "holds", "result": "passed"}],
            "follow_ups": [
                {"due": "2026-07-04", "done": "2026-07-06", "result": "good"},
                {"due": "2026-09", "due_odometer": {"value": 170000, "unit": "km"}},
                {"due": "2026-08-20"},
            ],
            "sign_off": {"by": "MH", "role": "lead", "at": "2026-06-05T08:10:00+02:00"},
            "lesson": "Café rule: hold it for two minutes.",
            "links": [{"kind": "same_as", "case": case_id(900)}],
            "attachments": [{"sha256": "ab" * 32, "name": "pedal.jpg"}],
            **fields,
        },
    )  # fmt: skip
