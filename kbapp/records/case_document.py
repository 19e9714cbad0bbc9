"""Reads and writes case documents: every fault at once, one canonical form, one digest."""

import hashlib
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, Final

import rfc8785
from pydantic import ValidationError
from pydantic_core import ErrorDetails

from kbapp.records.case import CASE_FORMAT, Case
from kbapp.records.fault import Checked, Fault, shorten
from kbapp.records.json_text import read_json
from kbapp.records.private import PrivateDetails
from kbapp.records.timeline import TestEntry

_KINDS: Final = ("part", "service", "test", "finding", "note")
_CODES: Final = {
    "missing": "field_missing",
    "extra_forbidden": "field_unknown",
    "literal_error": "value_not_allowed",
    "enum": "value_not_allowed",
    "string_type": "wrong_type",
    "int_type": "wrong_type",
    "float_type": "wrong_type",
    "bool_type": "wrong_type",
    "tuple_type": "wrong_type",
    "model_type": "wrong_type",
    "dict_type": "wrong_type",
    "int_parsing": "wrong_type",
    "float_parsing": "wrong_type",
    "bool_parsing": "wrong_type",
    "int_from_float": "wrong_type",
    "string_too_long": "text_too_long",
    "string_too_short": "text_too_short",
    "string_pattern_mismatch": "wrong_form",
    "greater_than_equal": "out_of_range",
    "less_than_equal": "out_of_range",
    "greater_than": "out_of_range",
    "less_than": "out_of_range",
    "finite_number": "out_of_range",
    "union_tag_invalid": "value_not_allowed",
    "union_tag_not_found": "field_missing",
    "forbidden_character": "forbidden_character",
    "blank": "text_blank",
    "moment": "moment_form",
}
_TYPES: Final = {
    "string_type": "text", "int_type": "a whole number", "int_parsing": "a whole number", "int_from_float": "a whole number",
    "float_type": "a number", "float_parsing": "a number", "bool_type": "true or false", "bool_parsing": "true or false",
    "tuple_type": "a list", "model_type": "an object", "dict_type": "an object",
}  # fmt: skip


def _path(location: tuple[int | str, ...]) -> str:
    # pydantic names the member of a union in the location; a document has no such level
    return ".".join(
        str(step) for n, step in enumerate(location) if not (step in _KINDS and n and isinstance(location[n - 1], int))
    )


def _expected(error: ErrorDetails) -> str:
    context: Mapping[str, Any] = error.get("ctx", {})
    kind = error["type"]
    if kind in _TYPES:
        return _TYPES[kind]
    if kind == "union_tag_invalid":
        return str(context.get("expected_tags", ""))
    if kind == "union_tag_not_found":
        return ", ".join(_KINDS)
    for key in ("expected", "max_length", "min_length", "ge", "le", "gt", "lt", "pattern"):
        if key in context:
            return str(context[key])
    return ""


def _found(error: ErrorDetails) -> str:
    kind, context = error["type"], error.get("ctx", {})
    if kind == "forbidden_character":
        return f"{context['char']} ({context['place']})"
    if kind in ("string_too_long", "string_too_short"):
        return str(len(error["input"]))
    if kind == "union_tag_invalid":
        return shorten(context.get("tag", ""))
    if kind in ("missing", "union_tag_not_found"):
        return ""
    value = error["input"]
    return type(value).__name__ if isinstance(value, (dict, list)) else shorten(value)


def _last(path: str, error: ErrorDetails) -> str:
    if error["type"] in ("union_tag_invalid", "union_tag_not_found"):
        return f"{path}.kind"
    return path


def faults_of(error: ValidationError) -> tuple[Fault, ...]:
    """Returns every fault that pydantic found, in the order of the document."""
    faults = []
    for detail in error.errors(include_url=False):
        path = _last(_path(detail["loc"]), detail)
        faults.append(Fault(path, _CODES.get(detail["type"], "value_wrong"), _found(detail), _expected(detail)))
    return tuple(dict.fromkeys(faults))


def _version_fault(data: Mapping[str, Any]) -> Fault | None:
    name = data.get("format")
    if name == CASE_FORMAT or "format" not in data:
        return None
    version = re.fullmatch(r"provebook-case/([0-9]{1,6})", name) if isinstance(name, str) else None
    if version and int(version[1]) > 1:
        return Fault("format", "format_newer", shorten(name), CASE_FORMAT)
    return Fault("format", "format_wrong", shorten(name), CASE_FORMAT)


def _with_entry_ids(data: dict[str, Any]) -> dict[str, Any]:
    """Returns the document with ids for timeline and retest lines that came without one."""
    out = dict(data)
    for field, letter in (("timeline", "e"), ("retest", "r")):
        lines = data.get(field)
        if not isinstance(lines, list) or all(not isinstance(line, dict) or "id" in line for line in lines):
            continue
        taken = {line.get("id") for line in lines if isinstance(line, dict)}
        free = (f"{letter}{n}" for n in range(1, 10 * len(lines) + 10) if f"{letter}{n}" not in taken)
        out[field] = [
            {"id": next(free), **line} if isinstance(line, dict) and "id" not in line else line for line in lines
        ]
    return out


def _references(case: Case) -> Iterator[tuple[str, str | None]]:
    for n, entry in enumerate(case.timeline):
        if isinstance(entry, TestEntry):
            yield f"timeline.{n}.repeat_of", entry.repeat_of
            yield f"timeline.{n}.supersedes", entry.supersedes
    for n, retest in enumerate(case.retest):
        yield f"retest.{n}.repeats", retest.repeats
    for n, attachment in enumerate(case.attachments):
        yield f"attachments.{n}.entry", attachment.entry


def consistency_faults(case: Case) -> tuple[Fault, ...]:
    """Returns what contradicts itself inside a well-formed case: ids used twice, references to nothing."""
    ids = [entry.id for entry in case.timeline] + [retest.id for retest in case.retest]
    faults = [Fault("timeline", "entry_id_twice", shorten(name)) for name, n in Counter(ids).items() if n > 1]
    known = set(ids)
    faults += [
        Fault(path, "entry_unknown", shorten(name))
        for path, name in _references(case)
        if name is not None and name not in known
    ]
    faults += [Fault(f"links.{n}.case", "link_to_itself") for n, link in enumerate(case.links) if link.case == case.id]
    return tuple(faults)


def check_case(data: object) -> Checked[Case]:
    """Returns the case a JSON value holds, or every fault that keeps it from being one."""
    if not isinstance(data, dict):
        return Checked(faults=(Fault("", "wrong_type", type(data).__name__, "an object"),))
    version = _version_fault(data)
    if version:
        return Checked(faults=(version,))
    try:
        case = Case.model_validate(_with_entry_ids(data))
    except ValidationError as error:
        return Checked(faults=faults_of(error))
    faults = consistency_faults(case)
    return Checked(None if faults else case, faults)


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
