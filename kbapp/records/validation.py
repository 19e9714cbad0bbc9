"""Makes the faults of a document from what pydantic found: dotted paths, our codes, short values, no prose."""

import re
from collections.abc import Mapping
from typing import Any, Final

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from kbapp.records.fault import Fault, json_word, shorten
from kbapp.records.timeline import NUMBER_TAG, TEXT_TAG

_KINDS: Final = ("part", "service", "test", "finding", "note")
_CODES: Final = {
    "missing": "field_missing",
    "extra_forbidden": "field_unknown",
    "literal_error": "value_not_allowed",
    "union_tag_invalid": "value_not_allowed",
    "union_tag_not_found": "choice_missing",
    "string_too_long": "text_too_long",
    "string_too_short": "text_too_short",
    "string_pattern_mismatch": "wrong_form",
    "greater_than_equal": "below_limit",
    "greater_than": "below_limit",
    "less_than_equal": "above_limit",
    "less_than": "above_limit",
    "int_parsing_size": "number_not_kept",
    "finite_number": "number_not_kept",
    "forbidden_character": "forbidden_character",
    "blank": "text_blank",
    "moment": "moment_form",
}
# What a value should have been, as words of the catalogue.
_TYPES: Final = {
    "string_type": "text",
    "string_unicode": "text",
    "int_type": "whole_number",
    "int_parsing": "whole_number",
    "int_from_float": "whole_number",
    "float_type": "number",
    "float_parsing": "number",
    "number_or_text_type": "number_or_text",
    "bool_type": "true_or_false",
    "tuple_type": "list",
    "model_type": "object",
    "model_attributes_type": "object",
    "dict_type": "object",
}
_QUOTED: Final = re.compile(r"'([^']*)'")
_LIMITS: Final = ("max_length", "min_length", "ge", "le", "gt", "lt")


def _path(location: tuple[int | str, ...]) -> str:
    # pydantic names the member of a union, and a key, in the location; a document has no such level
    steps = []
    for n, step in enumerate(location):
        member = step in _KINDS and n == 2 and location[0] == "timeline"
        if not member and step not in (NUMBER_TAG, TEXT_TAG, "[key]"):
            steps.append(str(step))
    return ".".join(steps)


def _expected(error: ErrorDetails) -> str:
    context: Mapping[str, Any] = error.get("ctx", {})
    kind = error["type"]
    if kind in _TYPES:
        return _TYPES[kind]
    if kind == "union_tag_not_found":
        return ", ".join(_KINDS)
    if kind in ("literal_error", "union_tag_invalid"):
        return ", ".join(_QUOTED.findall(str(context.get("expected", context.get("expected_tags", "")))))
    if kind == "string_pattern_mismatch":
        return "sha256" if "{64}" in str(context.get("pattern", "")) else "uuid"
    return next((_number(context[key]) for key in _LIMITS if key in context), "")


def _number(value: float) -> str:
    return str(int(value)) if float(value).is_integer() else str(value)


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
    # where the type is wrong, "5" and 5 must look different
    return f'"{shorten(value)}"' if kind in _TYPES and isinstance(value, str) else shorten(value)


def _place(error: ErrorDetails) -> str:
    path = _path(error["loc"])
    return f"{path}.kind" if error["type"] in ("union_tag_invalid", "union_tag_not_found") else path


def faults_of(error: ValidationError) -> tuple[Fault, ...]:
    """Returns every fault that pydantic found, in the order of the document."""
    faults = [
        Fault(_place(detail), _code(detail["type"]), _found(detail), _expected(detail))
        for detail in error.errors(include_url=False)
    ]
    return tuple(dict.fromkeys(faults))


def _code(kind: str) -> str:
    return "wrong_type" if kind in _TYPES else _CODES.get(kind, "value_wrong")


def format_fault(data: Mapping[str, Any], known: str) -> Fault | None:
    """Returns what is wrong with a document's ``format`` for a reader of ``known`` (``provebook-case/1``).

    A missing format is a missing field like any other and is left to the record.
    """
    name = data.get("format")
    if name == known or "format" not in data:
        return None
    kind, _, number = known.partition("/")
    version = re.fullmatch(re.escape(kind) + "/([1-9][0-9]{0,8})", name) if isinstance(name, str) else None
    newer = version is not None and int(version[1]) > int(number)
    return Fault("format", "format_newer" if newer else "format_wrong", shorten(name), known)


def not_an_object(data: object) -> Fault:
    """Returns the fault of a document that is no JSON object."""
    return Fault("", "wrong_type", json_word(data), "object")
