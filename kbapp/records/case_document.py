"""Reads and writes case documents: every fault at once, one canonical form, one digest."""

import hashlib
from collections.abc import Mapping
from itertools import count
from typing import Any, Final

import rfc8785
from pydantic import ValidationError

from kbapp.records.case import CASE_FORMAT, Case
from kbapp.records.consistency import consistency_faults
from kbapp.records.fault import Checked, Fault
from kbapp.records.json_text import read_json
from kbapp.records.private import PrivateDetails
from kbapp.records.validation import faults_of, format_fault, not_an_object

__all__ = ["canonical", "check_case", "check_private", "consistency_faults", "digest", "faults_of", "read_case"]

_LINES: Final = {"timeline": "e", "retest": "r"}


def _needs_id(line: Any) -> bool:
    return isinstance(line, dict) and "id" not in line


def _with_entry_ids(data: Mapping[str, Any]) -> dict[str, Any]:
    """Returns the document with ids for timeline and retest lines that came without one."""
    out = dict(data)
    lists = {field: data[field] for field in _LINES if isinstance(data.get(field), list)}
    taken = {str(line.get("id")) for lines in lists.values() for line in lines if isinstance(line, dict)}
    for field, lines in lists.items():
        free = (name for n in count(1) if (name := f"{_LINES[field]}{n}") not in taken)
        if any(map(_needs_id, lines)):
            out[field] = [{"id": next(free), **line} if _needs_id(line) else line for line in lines]
    return out


def check_case(data: object) -> Checked[Case]:
    """Returns the case a JSON value holds, or every fault that keeps it from being one.

    A document of a newer format has only that fault: what else it holds cannot be judged.
    """
    if not isinstance(data, dict):
        return Checked(faults=(not_an_object(data),))
    version = format_fault(data, CASE_FORMAT)
    if version and version.code == "format_newer":
        return Checked(faults=(version,))
    try:
        case = Case.model_validate(_with_entry_ids(data))
    except ValidationError as error:
        return Checked(faults=_with_format(version, faults_of(error)))
    faults = consistency_faults(case)
    return Checked(None if faults else case, faults)


def _with_format(version: Fault | None, faults: tuple[Fault, ...]) -> tuple[Fault, ...]:
    return (version, *(fault for fault in faults if fault.path != "format")) if version else faults


def check_private(data: object) -> Checked[PrivateDetails]:
    """Returns the private details a JSON value holds, or every fault."""
    try:
        return Checked(PrivateDetails.model_validate(data))
    except ValidationError as error:
        return Checked(faults=faults_of(error))


def read_case(data: bytes) -> Checked[Case]:
    """Returns the case in a JSON text, or every fault of text and document."""
    text = read_json(data)
    return check_case(text.value) if text.value is not None else Checked(faults=text.faults)


def canonical(case: Case) -> bytes:
    """Returns the canonical JSON (RFC 8785) of a case, without fields at their default."""
    return rfc8785.dumps(case.plain())


def digest(case: Case) -> str:
    """Returns the SHA-256 of the canonical JSON, 64 hexadecimal digits."""
    return hashlib.sha256(canonical(case)).hexdigest()
