"""Cases for the tests of the Bench: one for each thing it lists, dated from a day that is given."""

import json
import uuid
from datetime import date, timedelta
from typing import Any

from kbapp.records.case import CASE_FORMAT, Case

LOW_PEDAL = "brake-low-pedal"


def case(number: str, state: str, today: date, *, days: int = 3, **more: Any) -> Case:
    """Returns a case opened some days before ``today``."""
    document: dict[str, Any] = {
        "format": CASE_FORMAT,
        "id": str(uuid.uuid5(uuid.NAMESPACE_OID, number)),
        "number": number,
        "state": state,
        "opened": (today - timedelta(days=days)).isoformat(),
        "vehicle": {"make": "Brennick", "family": "Pallow", "generation": "B", "model_year": 2018, "engine": "B12P"},
        "concern": {"text": f"Pedal goes low, {number}", "system": "brakes_hydraulic"},
    }
    return Case.model_validate_json(json.dumps({**document, **more}))


def a_bench(today: date) -> tuple[Case, ...]:
    """Returns a case of every kind, and some that are not on the Bench."""
    fixed: dict[str, Any] = {"cause": {"text": "hose swells"}, "correction": {"text": "hose renewed"}}
    passed: dict[str, Any] = {"retest": [{"id": "r1", "test": "pedal height", "result": "passed"}]}
    failed: dict[str, Any] = {"retest": [{"id": "r1", "test": "pedal height", "result": "failed"}]}
    signed: dict[str, Any] = {"sign_off": {"by": "MH", "result": "proved"}, **passed, **fixed}

    def due(days: int, **more: Any) -> dict[str, Any]:
        return {"follow_ups": [{"due": (today + timedelta(days=days)).isoformat(), **more}]}

    back = case("B-2", "open", today)
    return (
        case("O-1", "open", today, days=4),
        case("O-2", "open", today, map={"id": LOW_PEDAL, "version": 1}),
        back,
        case("R-1", "repaired", today, **fixed),
        case("R-2", "repaired", today, **fixed, **failed),
        case("R-3", "repaired", today, **fixed, **passed),
        case("F-1", "proved", today, **signed, **due(-2)),
        case("F-2", "proved", today, **signed, **due(5)),
        case("F-3", "proved", today, **signed, **due(30)),
        case("F-4", "proved", today, **signed, **due(-9, done=today.isoformat(), result="fine")),
        case("C-1", "came_back", today, **fixed),
        case("C-2", "came_back", today, **fixed, links=[{"kind": "came_back_as", "case": back.id}]),
        case("W-1", "withdrawn", today, withdrawn_reason="sold"),
    )
