"""Documents for the tests of records: the fixtures, and strategies that make documents from a JSON Schema."""

import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from kbapp.records.case import Case
from kbapp.records.case_document import check_case

FOLDER = Path(__file__).resolve().parents[1] / "fixtures" / "documents"
CASES = sorted(FOLDER.glob("case-*.json"))
ID = "3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10"

_REORDERING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
_CHARACTERS = st.characters(exclude_categories=["Cc", "Cs"], exclude_characters=f"\u2028\u2029{_REORDERING}")
_DATES = st.dates(min_value=date(1900, 1, 1), max_value=date(2099, 12, 31)).map(str)
_TIMES = st.builds(
    "T{:02}:{:02}:00{}".format, st.integers(0, 23), st.integers(0, 59), st.sampled_from(["Z", "z", "+02:00", "-11:30"])
)
_NAMED: Mapping[str, st.SearchStrategy[Any]] = {
    "UUID": st.uuids().map(str),
    "SHA256": st.binary(min_size=32, max_size=32).map(bytes.hex),
    "Moment": st.one_of(_DATES, _DATES.map(lambda day: day[:7]), st.builds("{}{}".format, _DATES, _TIMES)),
}


def load(name: str) -> dict[str, Any]:
    """Returns a fixture document as JSON values."""
    data: dict[str, Any] = json.loads((FOLDER / name).read_bytes())
    return data


def full() -> dict[str, Any]:
    """Returns the document that uses every field."""
    return load("case-1-full.json")


def minimal(**fields: Any) -> dict[str, Any]:
    """Returns the smallest document with other fields added."""
    return {"format": "provebook-case/1", "id": ID, "state": "open", "concern": {"text": "low pedal"}} | fields


def case(**fields: Any) -> Case:
    """Returns a small case with other fields."""
    return check_case(minimal(**fields)).unwrap()


def documents(schema: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    """Returns a strategy of values that satisfy a schema of ours (the words of JSON Schema they use, no others)."""
    return _values(schema, schema["$defs"])


def _values(schema: Mapping[str, Any], definitions: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    if "$ref" in schema:
        name = schema["$ref"].rpartition("/")[2]
        return _NAMED[name] if name in _NAMED else _values(definitions[name], definitions)
    for several in ("anyOf", "oneOf"):
        if several in schema:
            return st.one_of([_values(one, definitions) for one in schema[several]])
    if "const" in schema or "enum" in schema:
        return st.sampled_from(schema.get("enum") or [schema["const"]])
    kind = schema["type"]
    if kind == "object":
        return _objects(schema, definitions)
    if kind == "array":
        return st.lists(_values(schema["items"], definitions), max_size=2)
    return _scalars(kind, schema)


def _objects(schema: Mapping[str, Any], definitions: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    required = schema.get("required", [])
    fields = {name: _values(one, definitions) for name, one in schema["properties"].items()}
    optional = {name: one for name, one in fields.items() if name not in required}
    return st.fixed_dictionaries({name: fields[name] for name in required}, optional=optional)


def _scalars(kind: str, schema: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    low, high = schema.get("minimum"), schema.get("maximum")
    if kind == "string":
        text = st.text(_CHARACTERS, min_size=schema.get("minLength", 0), max_size=min(schema.get("maxLength", 20), 20))
        return text.filter(str.strip) if "pattern" in schema else text
    if kind == "integer":
        return st.integers(low, high)
    if kind == "number":
        whole = st.integers(-9 if low is None else int(low), 9 if high is None else int(high))
        return st.floats(low, high, allow_nan=False, allow_infinity=False) | whole
    return {"boolean": st.booleans(), "null": st.none()}[kind]
