"""Lines of a timeline as texts: nothing is lost that was not touched, faults name their field."""

from pathlib import Path

import pytest

from kbapp.app.line_text import LINE_FIELDS, line_from_texts, line_texts
from kbapp.app.moment_text import moment_from_text, moment_text
from kbapp.app.readings_text import readings_from_text, readings_text
from kbapp.app.timeline_order import moved
from kbapp.errors import InputError
from kbapp.records.case_document import read_case
from kbapp.records.timeline import PartEntry, Reading, TestEntry
from kbapp.records.unit_names import unit_of

SEEDS = sorted((Path(__file__).resolve().parents[2] / "seed_cases").glob("*.json"))
CASES = [read_case(path.read_bytes()).unwrap(path.name) for path in SEEDS[::5]]


def test_every_line_written_back_untouched_is_the_same() -> None:
    lines = [(entry.kind, entry) for case in CASES for entry in case.timeline]
    retests = [retest for case in CASES for retest in case.retest]
    assert len(lines) > 100
    for kind, entry in lines:
        assert line_from_texts(kind, entry.id, line_texts(kind, entry), entry).value == entry
    for retest in retests:
        assert line_from_texts("retest", retest.id, line_texts("retest", retest), retest).value == retest


def _plain(reading: Reading) -> tuple[str, str, str, int]:
    known = unit_of(reading.unit)  # "%" and "percent" are one unit
    return (reading.where, str(reading.value), known.id if known else reading.unit, reading.repeat)


def test_readings_written_as_text_are_read_back() -> None:
    kept = lost = 0
    for case in CASES:
        for entry in case.timeline:
            if isinstance(entry, TestEntry) and entry.readings:
                again = readings_from_text(readings_text(entry.readings))
                same = sorted(map(_plain, again)) == sorted(map(_plain, entry.readings))
                kept, lost = kept + same, lost + (not same)
    assert kept > 20
    assert lost <= kept * 0.05, "readings survive their text; the others stay as they were while untouched"


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("inlet: 104; 105 °C", [("inlet", 104.0, "degC", 1), ("inlet", 105.0, "degC", 2)]),
        ("inlet 104 °C\noutlet 41 °C", [("inlet", 104.0, "degC", 1), ("outlet", 41.0, "degC", 1)]),
        ("11,8 V", [("", 11.8, "V", 1)]),
        ("pin 5: open", [("pin 5", "open", "", 1)]),
        ("drop: -0.2 V", [("drop", -0.2, "V", 1)]),
    ],
)
def test_readings_are_typed_a_place_a_line(text: str, readings: list[tuple[str, object, str, int]]) -> None:
    assert [(r.where, r.value, r.unit, r.repeat) for r in readings_from_text(text)] == readings


def test_a_part_is_made_of_what_is_typed() -> None:
    texts = {"part": "thermostat", "effect": "unchanged", "cost": "60,50", "labour_minutes": "70", "at": "2026-05"}
    part = line_from_texts("part", "e1", texts, None, "EUR").unwrap()
    assert isinstance(part, PartEntry)
    assert part.cost is not None
    assert (part.cost.value, part.cost.currency, part.labour_minutes) == (60.5, "EUR", 70)


def test_what_no_form_shows_stays() -> None:
    base = PartEntry.model_validate(
        {"id": "e1", "kind": "part", "part": "pump", "override": {"by": "IK", "reason": "asked for by the customer"}}
    )
    changed = line_from_texts("part", "e1", {**line_texts("part", base), "effect": "gone"}, base).unwrap()
    assert changed == base.model_copy(update={"effect": "gone"})


def test_conditions_are_ticked_in_the_text() -> None:
    texts = {"test": "fan", "conditions": "[x] warm engine\n[ ] air conditioning off\n[?] hood shut", "readings": ""}
    test = line_from_texts("test", "e1", texts, None).unwrap()
    assert [(c.id, c.met) for c in test.conditions] == [
        ("warm engine", True), ("air conditioning off", False), ("hood shut", None),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "texts", "field"),
    [
        ("part", {"part": ""}, "part"),
        ("part", {"part": "pump", "cost": "much"}, "cost"),
        ("part", {"part": "pump", "labour_minutes": "long"}, "labour_minutes"),
        ("test", {"test": "fan", "at": "31.05.2026"}, "at"),
    ],
)
def test_faults_name_the_field(kind: str, texts: dict[str, str], field: str) -> None:
    faults = line_from_texts(kind, "e1", texts, None).faults  # type: ignore[arg-type]
    assert {fault.path.split(".")[0] for fault in faults} == {field}


def test_each_kind_has_its_fields_once() -> None:
    for kind, names in LINE_FIELDS.items():
        assert len(set(names)) == len(names), kind


def test_moments_are_typed_in_clock_time() -> None:
    assert moment_text("2026-05-31T10:42:00+02:00") == "2026-05-31 10:42"
    assert moment_from_text("2026-05-31 9:05").startswith("2026-05-31T09:05:00")
    assert [moment_from_text(text) for text in ("2026-05", "2026-13-41 10:00")] == ["2026-05", "2026-13-41 10:00"]


def test_lines_move_and_stop_at_the_ends() -> None:
    case = next(case for case in CASES if len(case.timeline) > 2)
    first, second = case.timeline[0].id, case.timeline[1].id
    assert [line.id for line in moved(case, first, 1).timeline][:2] == [second, first]
    assert moved(case, first, -1) == case
    with pytest.raises(InputError):
        moved(case, "nobody", 1)


def test_a_reading_keeps_its_words() -> None:
    assert readings_text((Reading(where="pin 5", value="> 10 MΩ"),)) == "pin 5: > 10 MΩ"
