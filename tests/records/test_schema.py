"""The published schemas and the records say the same.

To rewrite the files after a change of the records:
``KBAPP_WRITE_SCHEMA=1 python -m pytest tests/records/test_schema.py``.
"""

import os
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator, FormatChecker

from kbapp.records.case import CASE_FORMAT
from kbapp.records.case_document import check_case, check_private
from kbapp.records.schema import case_schema, private_schema, schema_text
from kbapp.resources import resource
from tests.records.documents import CASES, FOLDER, documents, full, load

CASE_SCHEMA = case_schema()
PRIVATE_SCHEMA = private_schema()
CHECKER = FormatChecker()
CASE_VALIDATOR = Draft202012Validator(CASE_SCHEMA, format_checker=CHECKER)
PRIVATE_VALIDATOR = Draft202012Validator(PRIVATE_SCHEMA, format_checker=CHECKER)

# What JSON Schema cannot say, and the reader therefore checks alone: ids given twice and references between lines (a
# schema sees one value at a time), a link of a case to itself (likewise). Lone surrogates and numbers JSON has no
# word for never get as far: the JSON reader refuses them, and the strategies here do not make them.
READER_ALONE = {"entry_id_twice", "entry_unknown", "entry_circle", "link_to_itself"}

_SAFE = 2**53 - 1
_CHARACTERS = st.characters(exclude_categories=["Cs"])
_SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-_SAFE, _SAFE),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(
        [0, 1, -1, 1.0, 2019.0, 2019.5, 1e300, "", " ", "\n", "a\n", "\x00", "\u202e", "\u2028", "\ufeff", "5", "true"]
    ),
    st.sampled_from(
        ["2026-05", "2026-05\n", "2026-02-30", "2026-13", "2026-05-01T10:00:60Z", "2026-05-01T10:00:00z", "1899-01"]
    ),
    st.sampled_from(["x" * n for n in (9, 10, 120, 121, 500, 501, 20_000, 20_001, 200_001)]),
    st.sampled_from(
        ["strong", "own", "test", "note", "passed", "done", "km", "proved", CASE_FORMAT, "0" * 64, "0" * 64 + "\n"]
    ),
    st.text(_CHARACTERS, max_size=12),
)
_VALUES = st.one_of(
    _SCALARS,
    st.lists(_SCALARS, max_size=2),
    st.dictionaries(st.sampled_from(["id", "text", "value", "unit", "kind", "by"]), _SCALARS, max_size=3),
)


def _written(text: str, name: str) -> None:
    path = resource("schema") / name
    if os.environ.get("KBAPP_WRITE_SCHEMA") == "1":
        path.write_text(text, encoding="utf-8")
    assert path.read_text(encoding="utf-8") == text, "see the head of this file"


def test_the_files_are_what_the_records_say() -> None:
    _written(schema_text(CASE_SCHEMA), "case.schema.json")
    _written(schema_text(PRIVATE_SCHEMA), "private.schema.json")


@pytest.mark.parametrize("schema", [CASE_SCHEMA, PRIVATE_SCHEMA], ids=["case", "private"])
def test_the_schemas_are_schemas(schema: dict[str, Any]) -> None:
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"].startswith("urn:provebook:schema:")
    assert schema["title"].startswith("Provebook ")


@pytest.mark.parametrize(
    "moment", ["2026-02-29", "2026-02-30T10:00:00Z", "1900-02-29", "2026-04-31", "2026-05-00", "2026-5-01"]
)
def test_no_impossible_day_passes_even_where_formats_are_only_remarks(moment: str) -> None:
    document = {**full(), "opened": moment}
    assert not Draft202012Validator(CASE_SCHEMA).is_valid(document)
    assert not _agree(document)


def test_required_are_only_the_fields_the_format_names() -> None:
    assert CASE_SCHEMA["required"] == ["format", "id", "state", "concern"]
    assert CASE_SCHEMA["$defs"]["Concern"]["required"] == ["text"]
    assert "required" not in PRIVATE_SCHEMA
    assert CASE_SCHEMA["$defs"]["TestEntry"]["required"] == ["kind", "test"]


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_every_example_validates(path: Any) -> None:
    CASE_VALIDATOR.validate(load(path.name))


def test_every_private_example_validates() -> None:
    paths = sorted(FOLDER.glob("private-*.json"))
    assert paths
    for path in paths:
        PRIVATE_VALIDATOR.validate(load(path.name))


def _agree(document: Any) -> bool:
    faults = [fault for fault in check_case(document).faults if fault.code not in READER_ALONE]
    accepted = bool(CASE_VALIDATOR.is_valid(document))
    assert accepted == (not faults), (accepted, faults)
    return accepted


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(documents(CASE_SCHEMA))
def test_what_the_schema_describes_the_reader_takes(document: Any) -> None:
    assert _agree(document)
    case = check_case(document).value
    if case is not None:
        assert CASE_VALIDATOR.is_valid(case.plain())


@given(documents(PRIVATE_SCHEMA), st.sampled_from(sorted(PRIVATE_SCHEMA["properties"])) | st.text(max_size=3), _VALUES)
def test_private_details_agree(document: Any, field: str, value: Any) -> None:
    assert PRIVATE_VALIDATOR.is_valid(document)
    assert not check_private(document).faults
    changed = {**document, field: value}
    assert PRIVATE_VALIDATOR.is_valid(changed) == (not check_private(changed).faults)


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Yields every (container, key) of a document."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield value, key
        yield from _places(inner)


_COUNT = len(list(_places(full())))


@settings(max_examples=150)
@given(st.integers(0, _COUNT - 1), _VALUES)
def test_a_field_changed_is_refused_by_both_or_by_neither(place: int, value: Any) -> None:
    document = full()
    container, key = list(_places(document))[place]
    container[key] = value
    _agree(document)


def test_a_field_removed_is_refused_by_both_or_by_neither() -> None:
    for place in range(_COUNT):
        document = full()
        container, key = list(_places(document))[place]
        del container[key]
        accepted = _agree(document)
        assert accepted or isinstance(container, dict)  # a list without one of its items is a list


def test_a_field_of_none_is_refused_by_both_everywhere() -> None:
    document = full()
    objects = [document, *(value[key] for value, key in _places(document) if isinstance(value[key], dict))]
    assert len(objects) > 30
    for one in objects:
        one["a field of none"] = 1
        assert not _agree(document)
        del one["a field of none"]
    assert _agree(document)
