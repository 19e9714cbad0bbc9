from typing import Any

import pytest

from kbapp.records.case_document import check_case
from kbapp.records.fault import Fault
from kbapp.records.map_document import check_map
from kbapp.records.validation import format_fault, not_an_object
from tests.records.documents import load, minimal


def _only(**fields: Any) -> Fault:
    faults = check_case(minimal(**fields)).faults
    assert len(faults) == 1
    return faults[0]


def test_a_list_of_values_is_readable() -> None:
    fault = _only(state="opn")
    assert fault == Fault("state", "value_not_allowed", "opn", "open, repaired, proved, came_back, withdrawn")
    fault = _only(timeline=[{"kind": "repair"}])
    assert (fault.found, fault.expected) == ("repair", "part, service, test, finding, note")


def test_long_values_are_shown_short() -> None:
    assert len(_only(state="x" * 10_000_000).found) == 80
    assert _only(notes="x" * 10_000_000) == Fault("notes", "text_too_long", "10000000", "200000")
    assert _only(number="x" * 501) == Fault("number", "text_too_long", "501", "500")


def test_types_are_named_without_python() -> None:
    shown = {
        "a": _only(concern={"text": 5}),
        "b": _only(codes="P0171"),
        "c": _only(vehicle={"odometer": {"value": "5"}}),
        "d": _only(vehicle={"model_year": 2019.5}),
        "e": _only(shop=[]),
    }
    assert {key: (fault.found, fault.expected) for key, fault in shown.items()} == {
        "a": ("5", "text"),
        "b": ('"P0171"', "list"),
        "c": ('"5"', "number"),
        "d": ("2019.5", "whole_number"),
        "e": ("list", "object"),
    }


def test_limits_say_which_way() -> None:
    assert _only(vehicle={"model_year": 1899}) == Fault("vehicle.model_year", "below_limit", "1899", "1900")
    assert _only(vehicle={"model_year": 2101}) == Fault("vehicle.model_year", "above_limit", "2101", "2100")
    assert _only(vehicle={"odometer": {"value": -0.5}}) == Fault("vehicle.odometer.value", "below_limit", "-0.5", "0")


def test_forms_are_named() -> None:
    assert _only(id="1").expected == "uuid"
    assert _only(attachments=[{"sha256": "1", "name": "a.jpg"}]).expected == "sha256"


def test_a_hidden_character_is_named_with_its_place() -> None:
    assert _only(lesson="ab\u202ecd") == Fault("lesson", "forbidden_character", "U+202E (2)")


def test_fields_named_like_kinds_keep_their_place_in_a_map() -> None:
    data = load("map-1-full.json")
    data["tests"][0]["note"] = 5
    assert [fault.path for fault in check_map(data).faults] == ["tests.0.note"]


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("provebook-case/1", None),
        ("provebook-case/2", "format_newer"),
        ("provebook-case/10", "format_newer"),
        ("provebook-case/0", "format_wrong"),
        ("provebook-case/01", "format_wrong"),
        ("provebook-case", "format_wrong"),
        ("provebook-map/2", "format_wrong"),
        ("provebook-case/1\n", "format_wrong"),
        (1, "format_wrong"),
        (None, "format_wrong"),
        ("provebook-case/" + "9" * 5000, "format_wrong"),
    ],
)
def test_formats(name: object, code: str | None) -> None:
    fault = format_fault({"format": name}, "provebook-case/1")
    assert (fault and fault.code) == code
    assert fault is None or (fault.expected == "provebook-case/1" and len(fault.found) <= 80)


def test_what_is_no_object() -> None:
    assert not_an_object([1]) == Fault("", "wrong_type", "list", "object")
