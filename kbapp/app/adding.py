"""Reads case documents from files: one case, a list, JSON lines, or objects with private details beside the case."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from kbapp.errors import EnvironmentFault
from kbapp.records.case import Case
from kbapp.records.case_document import check_case, check_private
from kbapp.records.fault import DocumentFaults, Fault
from kbapp.records.json_text import read_json
from kbapp.records.private import PrivateDetails

MAX_FILE_BYTES = 512 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class NewCase:
    """A case to add, and what is kept private about it."""

    case: Case
    private: PrivateDetails | None = None


def read_cases(paths: tuple[Path, ...]) -> tuple[NewCase, ...]:
    """Returns every case of the files.

    Raises:
        DocumentFaults: any fault anywhere; all of all files are carried, nothing is to be added.
        EnvironmentFault: a file cannot be read.
    """
    faults: list[Fault] = []
    found: list[NewCase] = []
    for path in paths:
        for label, value in _documents(path, faults):
            new, wrong = _new_case(value)
            faults += [replace(fault, path=f"{label} {fault.path}".strip()) for fault in wrong]
            if new:
                found.append(new)
    faults += _twice(found)
    if faults:
        raise DocumentFaults(faults, ", ".join(path.name for path in paths[:3]) + (" …" if len(paths) > 3 else ""))
    return tuple(found)


def _twice(found: list[NewCase]) -> Iterator[Fault]:
    seen: set[str] = set()
    for new in found:
        if new.case.id in seen:
            yield Fault("id", "case_id_twice", new.case.id)
        seen.add(new.case.id)


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise EnvironmentFault("file_not_read", path=str(path), why=error.strerror or str(error)) from None


def _documents(path: Path, faults: list[Fault]) -> Iterator[tuple[str, Any]]:
    data = _read(path)
    whole = read_json(data, MAX_FILE_BYTES)
    if whole.value is not None:
        if isinstance(whole.value, list):
            yield from ((f"{path.name}[{n}]", value) for n, value in enumerate(whole.value))
        else:
            yield path.name, whole.value
        return
    lines = [line for line in data.splitlines() if line.strip()]
    if len(lines) < 2 or read_json(lines[0]).value is None:
        faults += [replace(fault, path=path.name) for fault in whole.faults]
        return
    for n, line in enumerate(lines, 1):
        checked = read_json(line)
        if checked.value is None:
            faults += [replace(fault, path=f"{path.name}:{n}") for fault in checked.faults]
        else:
            yield f"{path.name}:{n}", checked.value


def _new_case(value: Any) -> tuple[NewCase | None, list[Fault]]:
    private: PrivateDetails | None = None
    faults: list[Fault] = []
    if isinstance(value, dict) and "case" in value and "format" not in value:
        faults += [Fault(key, "field_unknown", key) for key in value if key not in ("case", "private")]
        if value.get("private") is not None:
            checked = check_private(value["private"])
            private = checked.value
            faults += [replace(fault, path=f"private.{fault.path}") for fault in checked.faults]
        value = value["case"]
    case = check_case(value)
    faults += case.faults
    return (None if faults or case.value is None else NewCase(case.value, private)), faults
