"""Brings old records in from a spreadsheet (CSV): columns are mapped to fields, every faulty row is listed at once."""

import csv
import dataclasses
import io
import re
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from kbapp.app.jot import KnownVehicles, vehicle_from_line
from kbapp.errors import EnvironmentFault, InputError
from kbapp.records.base import clean_text
from kbapp.records.case import CASE_FORMAT, Case, Shop
from kbapp.records.case_document import check_case, check_private
from kbapp.records.fault import Fault
from kbapp.records.private import PrivateDetails

FIELDS: Final[Mapping[str, tuple[str, ...]]] = {
    "concern": ("concern", "complaint", "problem", "symptom text", "customer complaint"),
    "number": ("number", "case", "job", "job number", "order", "no"),
    "opened": ("opened", "date", "day"),
    "vehicle": ("vehicle", "car"),
    "make": ("make",),
    "family": ("family", "model"),
    "generation": ("generation", "gen"),
    "model_year": ("model_year", "model year", "year"),
    "engine": ("engine", "engine code"),
    "odometer": ("odometer", "mileage", "km", "miles"),
    "system": ("system",),
    "symptoms": ("symptoms", "symptom"),
    "codes": ("codes", "code", "trouble codes", "dtc"),
    "parts_tried": ("parts_tried", "parts tried", "parts fitted", "parts"),
    "tried": ("tried", "what was tried", "work done before"),
    "split": ("split", "test", "tests", "diagnosis", "finding"),
    "cause": ("cause", "root cause", "fault found"),
    "fixed": ("fixed", "correction", "repair", "fix", "what fixed it"),
    "lesson": ("lesson",),
    "notes": ("notes", "remarks", "comment"),
    "customer": ("customer", "customer name", "owner"),
    "phone": ("phone", "telephone", "mobile"),
    "plate": ("plate", "registration", "number plate", "licence plate", "license plate", "reg"),
    "vin": ("vin", "chassis", "chassis number"),
    "order_number": ("order_number", "order number", "work order"),
}
"""Fields a column may feed, each with the column names that are recognised without being told."""

PRIVATE_FIELDS: Final = ("customer", "phone", "plate", "vin", "order_number")
"""Fields that go into the private record and never into the case."""

_LISTS: Final = re.compile(r"[;,\n|]")


@dataclass(frozen=True, slots=True)
class ImportPlan:
    """What an import would do: the mapping used, the cases, and the faults (path ``row 7 …``) of the other rows.

    ``private``: what the table tells about customer and vehicle, by the id of the case.
    """

    columns: Mapping[str, str]
    ignored: tuple[str, ...]
    cases: tuple[Case, ...]
    faults: tuple[Fault, ...]
    private: Mapping[str, PrivateDetails] = dataclasses.field(default_factory=dict)


def read_table(path: Path) -> tuple[list[str], list[dict[str, str]]]:
    """Returns the header and rows of a CSV file; comma, semicolon or tab, UTF-8 or Windows-1252.

    Raises:
        EnvironmentFault: the file cannot be read.
        InputError: there is no header, or no table.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise EnvironmentFault("file_not_read", path=str(path), why=error.strerror or str(error)) from None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    if "\0" in text or not text.strip():
        raise InputError("table_not_csv", path=path.name)
    first = text.lstrip().splitlines()[0]
    delimiter = max(",;\t", key=first.count)
    try:
        rows = list(csv.DictReader(io.StringIO(text.lstrip()), delimiter=delimiter, restkey="", restval=""))
    except csv.Error as error:
        raise InputError("table_damaged", path=path.name, why=str(error)) from None
    header = [name.strip() for name in next(csv.reader(io.StringIO(first), delimiter=delimiter))]
    return header, [{str(k).strip(): v.strip() for k, v in row.items() if k and isinstance(v, str)} for row in rows]


def match_columns(header: list[str], wanted: Mapping[str, str], *, only: bool = False) -> dict[str, str]:
    """Returns field → column: those asked for, then (unless ``only``) those recognised by their name.

    Raises:
        InputError: an unknown field, a column that is not there, or nothing that gives the concern.
    """
    lower = {name.casefold(): name for name in header}
    columns: dict[str, str] = {}
    for field, column in wanted.items():
        if field not in FIELDS:
            raise InputError("import_unknown_field", field=field, fields=", ".join(FIELDS))
        if column.casefold() not in lower:
            raise InputError("import_unknown_column", column=column, columns=", ".join(header))
        columns[field] = lower[column.casefold()]
    for field, names in () if only else FIELDS.items():
        for name in names:
            if field not in columns and name in lower and lower[name] not in columns.values():
                columns[field] = lower[name]
    if "concern" not in columns:
        raise InputError("import_without_concern", columns=", ".join(header))
    return columns


def plan_import(
    path: Path, wanted: Mapping[str, str], shop: Shop, known: KnownVehicles, *, only: bool = False
) -> ImportPlan:
    """Returns what importing a CSV file would do; nothing is written. ``only``: no column is used but those wanted."""
    header, rows = read_table(path)
    columns = match_columns(header, wanted, only=only)
    cases: list[Case] = []
    faults: list[Fault] = []
    private: dict[str, PrivateDetails] = {}
    for n, row in enumerate(rows, 2):
        values = {name: clean_text(row.get(column, "")) for name, column in columns.items()}
        if not any(values.values()):
            continue
        checked = check_case(_document(values, shop, known))
        details = check_private({name: clean_text(values.get(name, ""), lines=False) for name in PRIVATE_FIELDS})
        wrong = (*checked.faults, *details.faults)
        faults += [replace(fault, path=f"row {n}: {fault.path}") for fault in wrong]
        if checked.value and not wrong:
            cases.append(checked.value)
            if details.value and not details.value.empty:
                private[checked.value.id] = details.value
    ignored = tuple(name for name in header if name and name not in columns.values())
    return ImportPlan(columns, ignored, tuple(cases), tuple(faults), private)


def _items(text: str) -> list[str]:
    return [item.strip() for item in _LISTS.split(text) if item.strip()]


def _whole_number(text: str) -> Any:
    digits = re.sub(r"[ .,](?=\d{3}\b)", "", text)
    return int(digits) if digits.isdigit() else text


def _document(values: Mapping[str, str], shop: Shop, known: KnownVehicles) -> dict[str, Any]:
    get = values.get
    concern: dict[str, Any] = {"text": get("concern", ""), "symptoms": _items(get("symptoms", ""))}
    if get("system"):
        concern["system"] = get("system")
    document: dict[str, Any] = {
        "format": CASE_FORMAT,
        "id": str(uuid.uuid4()),
        "state": "repaired" if get("fixed") or get("cause") else "open",
        "shop": shop.plain(),
        "concern": concern,
        "codes": [{"code": code.upper()} for code in _items(get("codes", ""))],
        "timeline": list(_timeline(values)),
    }
    document |= {name: values[name] for name in ("number", "opened", "lesson", "notes") if get(name)}
    vehicle = _vehicle(values, known)
    if vehicle:
        document["vehicle"] = vehicle
    if get("cause"):
        document["cause"] = {"text": get("cause")}
    if get("fixed"):
        document["correction"] = {"text": get("fixed")}
    return document


def _vehicle(values: Mapping[str, str], known: KnownVehicles) -> dict[str, Any]:
    free = vehicle_from_line(values.get("vehicle", "")[:300], known)
    vehicle: dict[str, Any] = free.plain() if free else {}
    vehicle |= {name: values[name] for name in ("make", "family", "generation", "engine") if values.get(name)}
    if values.get("model_year"):
        vehicle["model_year"] = _whole_number(values["model_year"])
    distance = re.fullmatch(r"([\d .,]+?)\s*(km|mi|miles)?", values.get("odometer", ""), re.IGNORECASE)
    if distance:
        unit = "mi" if (distance[2] or "").lower().startswith("mi") else "km"
        vehicle["odometer"] = {"value": _whole_number(distance[1].strip()), "unit": unit}
    return vehicle


def _timeline(values: Mapping[str, str]) -> Iterator[dict[str, Any]]:
    for n, part in enumerate(_items(values.get("parts_tried", "")), 1):
        yield {"id": f"p{n}", "kind": "part", "part": part, "source": "reported"}
    if values.get("tried"):
        yield {"id": "e1", "kind": "note", "text": values["tried"], "source": "reported"}
    if values.get("split"):
        yield {"id": "e2", "kind": "finding", "text": values["split"]}
