"""Fields of a case as texts: what is read is written back, faults name their field."""

from pathlib import Path

import pytest

from kbapp.app.case_fields import FIELDS, field_text, held_back, odometer_from_text, with_fields
from kbapp.app.codes_text import codes_from_text, codes_text
from kbapp.records.case import Case, CodeRecord
from kbapp.records.case_document import check_case, read_case

SEEDS = sorted((Path(__file__).resolve().parents[2] / "seed_cases").glob("*.json"))
BARE = check_case(
    {
        "format": "provebook-case/1",
        "id": "5d8f1f0e-3c1b-4d57-8a63-6f1f0a1c9b42",
        "state": "open",
        "concern": {"text": "x"},
    }
).unwrap()


def _seed(path: Path) -> Case:
    return read_case(path.read_bytes()).unwrap(path.name)


@pytest.mark.parametrize("path", SEEDS[::7], ids=lambda path: path.stem[:4])
def test_every_field_of_a_case_written_back_changes_nothing(path: Path) -> None:
    case = _seed(path)
    texts = {name: field_text(case, name) for name in FIELDS}
    assert with_fields(case, texts).value == case
    bare = with_fields(BARE, {**texts, "state": "open"}).value
    assert bare is not None
    assert {name: field_text(bare, name) for name in FIELDS if name != "state"} == {
        name: text for name, text in texts.items() if name != "state"
    }


def test_a_blank_text_takes_a_field_out() -> None:
    made = with_fields(BARE, {"vehicle.make": "Kestrow", "cause.text": "hose", "cause.separated": "no"}).unwrap()
    assert made.cause is not None
    assert not made.cause.separated
    back = with_fields(made, {"vehicle.make": "", "cause.text": "", "cause.separated": "yes"}).unwrap()
    assert back == BARE


def test_faults_keep_only_their_own_field_out() -> None:
    texts = {"vehicle.model_year": "twenty", "vehicle.make": "Kestrow", "cause.part": "hose", "opened": "yesterday"}
    checked = with_fields(BARE, texts)
    assert set(held_back(texts, checked.faults)) == {"vehicle.model_year", "cause.part", "opened"}


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("128 400 km", 128_400, "km"),
        ("128,400 mi", 128_400, "mi"),
        ("128.400", 128_400, "km"),
        ("90000 miles", 90_000, "mi"),
    ],
)
def test_distances_are_read_as_people_type_them(text: str, value: float, unit: str) -> None:
    found = odometer_from_text(text)
    assert found is not None
    assert (found.value, found.unit) == (value, unit)
    assert odometer_from_text("a lot") is None


def test_a_moment_with_its_time_is_typed_in_clock_time() -> None:
    made = with_fields(BARE, {"opened": "2026-05-31 10:42"}).unwrap()
    assert made.opened is not None
    assert made.opened.startswith("2026-05-31T10:42:00")
    assert field_text(made, "opened") == "2026-05-31 10:42"


def test_codes_are_read_from_lines_lists_and_reports() -> None:
    report = "ECM\nP0217 stored over temperature\nP0480 pending fan 1\nABS\nC0035 history left front sensor\n"
    assert [(c.code, c.status, c.module) for c in codes_from_text(report)] == [
        ("P0217", "stored", "ECM"), ("P0480", "pending", "ECM"), ("C0035", "history", "ABS"),
    ]  # fmt: skip
    assert [c.code for c in codes_from_text("P0171, P0174")] == ["P0171", "P0174"]
    assert [c.code for c in codes_from_text("p0171\n4A7B")] == ["P0171", "4A7B"]
    assert codes_from_text("nothing stored") == ()


@pytest.mark.parametrize(
    "codes",
    [
        (CodeRecord(code="P0217", status="stored", module="Tele unit"),),
        (CodeRecord(code="P0217", module="ECM"), CodeRecord(code="482A", status="present")),
        (CodeRecord(code="U0073-04"),),
    ],
)
def test_codes_written_as_lines_are_read_back(codes: tuple[CodeRecord, ...]) -> None:
    assert codes_from_text(codes_text(codes)) == codes
