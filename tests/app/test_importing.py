from pathlib import Path

import pytest

from kbapp.app.importing import FIELDS, plan_import
from kbapp.app.jot import KnownVehicles
from kbapp.errors import EnvironmentFault, InputError
from kbapp.records.case import Shop

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
KNOWN = KnownVehicles(("Kestrow",), ("Lindle",), ())
ROWS = (
    "Job;Complaint;Car;Year;km;Parts fitted;Fault found;Repair;Shelf\r\n"
    "17;stalls at idle;Kestrow Lindle;2018;143.000;idle valve, coil;vacuum hose split;hose;B2\r\n"
    "18;squeals;Kestrow Lindle;twenty;;;;;B3\r\n"
    "19;;;;;;;;\r\n"
)


def _plan(tmp_path: Path, text: str | bytes, **columns: str):  # type: ignore[no-untyped-def]
    path = tmp_path / "old.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return plan_import(path, columns, SHOP, KNOWN)


def test_columns_are_matched_by_name_and_by_what_is_said(tmp_path: Path) -> None:
    plan = _plan(tmp_path, ROWS, cause="Fault found")
    assert plan.columns["concern"] == "Complaint"
    assert plan.columns["fixed"] == "Repair"
    assert plan.ignored == ("Shelf",)
    first = plan.cases[0]
    assert first.number == "17"
    assert first.state == "repaired"
    assert first.vehicle is not None
    assert (first.vehicle.make, first.vehicle.family, first.vehicle.model_year) == ("Kestrow", "Lindle", 2018)
    assert first.vehicle.odometer is not None
    assert first.vehicle.odometer.value == 143_000
    assert [entry.kind for entry in first.timeline] == ["part", "part"]
    assert first.cause is not None
    assert first.cause.text == "vacuum hose split"


def test_rows_that_cannot_be_taken_are_listed_with_their_row(tmp_path: Path) -> None:
    plan = _plan(tmp_path, ROWS)
    assert [(fault.path, fault.code) for fault in plan.faults] == [
        ("row 3: vehicle.model_year", "wrong_type"),
        ("row 4: concern.text", "text_blank"),
    ]
    assert len(plan.cases) == 1


def test_windows_text_and_tabs_are_read(tmp_path: Path) -> None:
    plan = _plan(tmp_path, "complaint\tcause\nfährt ruckelnd\tZündspule\n".encode("cp1252"))
    assert plan.cases[0].concern.text == "fährt ruckelnd"


@pytest.mark.parametrize(
    ("text", "columns", "code"),
    [
        ("a,b\n1,2\n", {}, "import_without_concern"),
        ("concern\nx\n", {"concern": "Nope"}, "import_unknown_column"),
        ("concern\nx\n", {"colour": "concern"}, "import_unknown_field"),
        ("", {}, "table_not_csv"),
        (b"PK\x03\x04\x00\x00", {}, "table_not_csv"),
    ],
)
def test_what_is_no_table_is_refused(tmp_path: Path, text: str | bytes, columns: dict[str, str], code: str) -> None:
    with pytest.raises(InputError) as refused:
        _plan(tmp_path, text, **columns)
    assert refused.value.code == code


def test_a_missing_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(EnvironmentFault) as refused:
        plan_import(tmp_path / "none.csv", {}, SHOP, KNOWN)
    assert refused.value.code == "file_not_read"


def test_who_the_customer_is_stays_out_of_the_case(tmp_path: Path) -> None:
    plan = _plan(tmp_path, "concern;customer;reg;vin\nstalls;Orchard Garage;WL 4182;\nsqueals;;;\n")
    first = plan.cases[0]
    assert plan.private[first.id].plain() == {"customer": "Orchard Garage", "plate": "WL 4182"}
    assert "Orchard" not in first.model_dump_json()
    assert set(plan.private) == {first.id}


def test_only_the_columns_that_were_chosen_are_used(tmp_path: Path) -> None:
    path = tmp_path / "old.csv"
    path.write_text("concern,lesson,notes\nstalls,a,b\n", encoding="utf-8")
    plan = plan_import(path, {"concern": "concern", "notes": "lesson"}, SHOP, KNOWN, only=True)
    assert plan.columns == {"concern": "concern", "notes": "lesson"}
    assert (plan.cases[0].lesson, plan.cases[0].notes) == ("", "a")


def test_no_column_name_feeds_two_fields() -> None:
    names = [name for names in FIELDS.values() for name in names]
    assert len(names) == len(set(names))
