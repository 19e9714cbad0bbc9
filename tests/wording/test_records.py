"""The sentences for kbapp.records: every code has one, filled only with what its fault carries."""

import ast
import importlib
import pkgutil
from collections.abc import Callable, Iterator
from pathlib import Path
from string import Formatter
from typing import Any

import pytest

import kbapp.records
from kbapp.errors import InputError, KbError
from kbapp.records.case_document import check_case, read_case
from kbapp.records.codes import decode_code, decode_hex
from kbapp.records.fault import DocumentFaults, Fault
from kbapp.records.json_text import MAX_BYTES, read_json
from kbapp.records.units import convert, unit
from kbapp.records.validation import _CODES
from kbapp.records.vin import read_vin
from kbapp.wording import fault_sentence, known_codes, sentence
from kbapp.wording.records import SENTENCES
from tests.records.documents import ID, minimal

# Modules whose codes stand with the sentences for section maps.
_MAPS = {"map_check", "map_document"}
_RAISERS = {"Fault": 1, "_Refused": 0, "InputError": 0}


def _codes_written() -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Yields (kind of call, code, keyword names) for every code written in kbapp.records."""
    for module in pkgutil.iter_modules(kbapp.records.__path__):
        if module.name in _MAPS:
            continue
        source = Path(str(importlib.import_module(f"kbapp.records.{module.name}").__file__)).read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in _RAISERS:
                argument = node.args[_RAISERS[node.func.id]]
                names = tuple(str(keyword.arg) for keyword in node.keywords)
                for constant in [argument.body, argument.orelse] if isinstance(argument, ast.IfExp) else [argument]:
                    if isinstance(constant, ast.Constant) and isinstance(constant.value, str):
                        yield node.func.id, constant.value, names


WRITTEN = [*_codes_written(), *(("Fault", code, ()) for code in {*_CODES.values(), "wrong_type", "value_wrong"})]


def _placeholders(template: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(template) if name is not None}


def test_every_code_of_records_has_a_sentence_filled_with_what_it_carries() -> None:
    assert len({code for _, code, _ in WRITTEN}) > 35
    for kind, code, names in WRITTEN:
        assert code in SENTENCES
        carried = set(names) if kind == "InputError" else {"path", "found", "expected"}
        assert _placeholders(SENTENCES[code]) <= carried, code


def test_every_sentence_is_of_a_code_in_use() -> None:
    of_any_layer = {"unworded", "cancelled", "document_faults"}
    assert set(SENTENCES) - of_any_layer == {code for _, code, _ in WRITTEN}
    assert known_codes() >= set(SENTENCES)


def _line(**fields: Any) -> dict[str, Any]:
    return minimal(timeline=[{"id": "e1", **fields}])


_WIDE = {"id": ID, "format": "provebook-case/1", "state": "open", "concern": {"text": "x"}}
FAULTY: dict[str, Callable[[], tuple[Fault, ...]]] = {
    "field_missing": lambda: check_case({**_WIDE, "concern": {}}).faults,
    "choice_missing": lambda: check_case(_line(text="x")).faults,
    "field_unknown": lambda: check_case(minimal(colour={"a": 1})).faults,
    "value_not_allowed": lambda: check_case(minimal(state="opn")).faults,
    "wrong_type": lambda: check_case(_line(kind="test", test="x", minutes="5")).faults,
    "wrong_form": lambda: check_case(minimal(id="7")).faults,
    "below_limit": lambda: check_case(minimal(vehicle={"model_year": 19})).faults,
    "above_limit": lambda: check_case(minimal(vehicle={"model_year": 20191})).faults,
    "number_not_kept": lambda: check_case(minimal(vehicle={"odometer": {"value": float("inf")}})).faults,
    "text_too_long": lambda: check_case(minimal(notes="x" * 10_000_000)).faults,
    "text_too_short": lambda: check_case(_line(kind="part", part="x", override={"by": "MH", "reason": "so"})).faults,
    "text_blank": lambda: check_case(minimal(concern={"text": " "})).faults,
    "forbidden_character": lambda: check_case(minimal(lesson="a\u202eb")).faults,
    "moment_form": lambda: check_case(minimal(opened="May 2026")).faults,
    "format_newer": lambda: check_case({**_WIDE, "format": "provebook-case/2"}).faults,
    "format_wrong": lambda: check_case({**_WIDE, "format": "case"}).faults,
    "entry_id_twice": lambda: check_case(minimal(timeline=[{"id": "e1", "kind": "note"}] * 2)).faults,
    "entry_unknown": lambda: check_case(_line(kind="test", test="x", repeat_of="e9")).faults,
    "entry_circle": lambda: check_case(_line(kind="test", test="x", supersedes="e1")).faults,
    "link_to_itself": lambda: check_case(minimal(links=[{"kind": "same_as", "case": ID}])).faults,
    "json_too_large": lambda: read_json(b" " * (MAX_BYTES + 1)).faults,
    "json_not_utf8": lambda: read_json(b'"\xe9"').faults,
    "json_too_deep": lambda: read_json(b"[" * 41).faults,
    "json_truncated": lambda: read_case(b'{"format": "prov').faults,
    "json_syntax": lambda: read_json(b'{"a" 1}').faults,
    "json_duplicate_key": lambda: read_json(b'{"a": 1, "a": 2}').faults,
    "json_not_a_number": lambda: read_json(b"[NaN]").faults,
    "json_integer_too_large": lambda: read_json(b"[9007199254740993]").faults,
    "json_number_too_large": lambda: read_json(b"[1e999]").faults,
    "json_lone_surrogate": lambda: read_json(b'["\\ud800"]').faults,
    "json_empty": lambda: read_json(b"").faults,
    "vin_length": lambda: read_vin("1M8GDM9AXKP04278").faults,
    "vin_character": lambda: read_vin("1M8GDM9AXKP04278/").faults,
    "vin_letter": lambda: read_vin("IM8GDM9AXKP042788").faults,
}


_WRONG = ("  ", "..", " .", ", .", ": .", "()", "None", "dict", "NoneType", "(path)")


def _reads_well(text: str) -> None:
    assert text[0].isupper() or ":" in text or text[0] in '"0123456789'
    assert text.endswith(".")
    assert not set("{}") & set(text)
    assert not any(
        wrong in text for wrong in ("  ", "..", " .", ", .", ": .", "()", "None", "dict", "NoneType", "(path)")
    )
    assert len(text) < 400


@pytest.mark.parametrize("code", FAULTY)
def test_a_real_fault_of_each_code_reads_well(code: str) -> None:
    faults = FAULTY[code]()
    assert [fault.code for fault in faults] == [code]
    _reads_well(fault_sentence(faults[0]))


def test_every_fault_code_was_tried() -> None:
    untried = {code for kind, code, _ in WRITTEN if kind != "InputError"} - set(FAULTY)
    assert untried == {"value_wrong"}  # for what a later pydantic may find that we do not know
    _reads_well(fault_sentence(Fault("concern", "value_wrong", "x")))


@pytest.mark.parametrize(
    ("act", "expected"),
    [
        (
            lambda: decode_code(b"\x01"),
            "A module sends a trouble code in 2 or 3 bytes, not 1. Give 4 or 6 hexadecimal digits.",
        ),
        (lambda: decode_hex("01G3"), "01G3 is not hexadecimal. Give 4 or 6 digits of 0 to 9 and A to F."),
        (lambda: unit("furlong"), "furlong is no unit Provebook knows. Choose one of the list."),
        (lambda: convert(1, "V", "psi"), "V and psi measure different things. Choose a unit of the same kind."),
    ],
)
def test_errors_read_well(act: Callable[[], object], expected: str) -> None:
    with pytest.raises(InputError) as caught:
        act()
    assert sentence(caught.value) == expected


def test_a_typical_faulty_document() -> None:
    document = {
        "format": "provebook-case/1",
        "id": "7c1d0a4e-52b8-4a0f-9a3d-6e0b5f1c2d10",
        "state": "finished",
        "vehicle": {"make": "Kestrow", "model_year": "2019", "odometer": {"value": -5}},
        "concern": {"text": "", "sytem": "brakes_hydraulic"},
        "timeline": [
            {"id": "e1", "kind": "test", "readings": [{"where": "pedal", "value": True}]},
            {"id": "e2", "part": "caliper"},
            {"id": "e3", "kind": "part", "part": "hose", "cost": {"value": 20}, "at": "3.3.2026"},
        ],
        "notes": "x" * 200_001,
    }
    with pytest.raises(DocumentFaults) as caught:
        check_case(document).unwrap("card-311.json")
    assert sentence(caught.value).splitlines() == [
        "card-311.json cannot be taken, 11 things are to be put right:",
        "  state: finished is not allowed here. Choose one of: open, repaired, proved, came_back, withdrawn.",
        '  vehicle.model_year: "2019" stands where a whole number is needed. Correct it.',
        "  vehicle.odometer.value: -5 is too small. Give at least 0.",
        "  concern.text: is blank. Write what belongs here, or leave out a field that may be missing.",
        "  concern.sytem: is no field of this format (it holds brakes_hydraulic). Remove it or correct its name.",
        "  timeline.0.test: is missing. Add it.",
        "  timeline.0.readings.0.value: true stands where a number is needed. Correct it.",
        "  timeline.1.kind: is missing. Add one of: part, service, test, finding, note.",
        "  timeline.2.at: 3.3.2026 is no date. Write 2026-05, 2026-05-31 or 2026-05-31T10:42:00+02:00.",
        "  timeline.2.cost.currency: is missing. Add it.",
        "  notes: has 200001 characters, at most 200000 are kept. Attach longer text as a file.",
    ]


def test_one_thing_is_said_as_one_and_without_a_name() -> None:
    fault = Fault("", "json_empty")
    assert sentence(DocumentFaults([fault])).splitlines() == [
        "This cannot be taken, 1 thing is to be put right:",
        "  The document: holds nothing. Choose the file with the record in it.",
    ]


def test_a_code_without_a_sentence_still_says_something() -> None:
    assert sentence(KbError("never_heard_of")) == "Something went wrong (never_heard_of). Please report this code."


def test_sentences_are_translated(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    for code, make in FAULTY.items():
        assert fault_sentence(make()[0]).startswith("⟦"), code
    assert sentence(DocumentFaults([Fault("", "json_empty")], "a.json")).startswith("⟦")
