"""The JSON Schemas (2020-12) of case documents and private details, generated from the records.

What a schema cannot say, the reader checks: references between lines, ids and keys given twice, links of a case to
itself, lone surrogates, and that a document of a newer format is named as such.
"""

import json
from collections.abc import Mapping
from typing import Any, Final

from pydantic import TypeAdapter

from kbapp.records.base import Line, LongText, ReasonText, Record, RequiredText, Text, Word
from kbapp.records.case import Case, CaseId, Sha256
from kbapp.records.moment import Moment
from kbapp.records.private import PrivateDetails

_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
_TEXTS: Final[Mapping[str, Any]] = {
    "Line": Line, "Word": Word, "Text": Text, "LongText": LongText, "RequiredText": RequiredText,
    "ReasonText": ReasonText, "UUID": CaseId, "SHA256": Sha256, "Moment": Moment,
}  # fmt: skip
# The reader numbers lines that come without an id.
_ID_MAY_MISS: Final = ("PartEntry", "ServiceEntry", "TestEntry", "FindingEntry", "NoteEntry", "Retest")


def case_schema() -> dict[str, Any]:
    """Returns the JSON Schema of ``provebook-case/1``."""
    schema = _schema(Case, "urn:provebook:schema:case:1", "Provebook case")
    for name in _ID_MAY_MISS:
        definition = schema["$defs"][name]
        definition["required"] = [field for field in definition.get("required", ()) if field != "id"]
        if not definition["required"]:
            del definition["required"]
    return schema


def private_schema() -> dict[str, Any]:
    """Returns the JSON Schema of a case's private details, which are kept apart from the case."""
    return _schema(PrivateDetails, "urn:provebook:schema:private:1", "Provebook private details")


def schema_text(schema: dict[str, Any]) -> str:
    """Returns a schema as it stands in its file."""
    return json.dumps(schema, indent=2, ensure_ascii=True) + "\n"


def _schema(record: type[Record], identifier: str, title: str) -> dict[str, Any]:
    generated = record.model_json_schema()
    texts = {name: TypeAdapter(kind).json_schema() for name, kind in _TEXTS.items()}
    body = _tidied(generated, texts)
    used = json.dumps(body)
    definitions = {name: schema for name, schema in texts.items() if f'"#/$defs/{name}"' in used}
    head = {"$schema": _DIALECT, "$id": identifier, "title": title}
    return {**head, **body, "$defs": {**body.get("$defs", {}), **definitions}}


def _tidied(schema: Any, texts: Mapping[str, Any]) -> Any:
    """Returns a schema without pydantic's titles of field names, its kinds of text named once in ``$defs``."""
    if isinstance(schema, list):
        return [_tidied(item, texts) for item in schema]
    if not isinstance(schema, dict):
        return schema
    kept = {key: value for key, value in schema.items() if key not in ("title", "default", "discriminator")}
    named = next((name for name, text in texts.items() if text == kept), None)
    if named:
        kept = {"$ref": f"#/$defs/{named}"}
    out = {key: _tidied_value(key, value, texts) for key, value in kept.items()}
    return {**out, "default": schema["default"]} if "default" in schema else out


def _tidied_value(key: str, value: Any, texts: Mapping[str, Any]) -> Any:
    if key in ("properties", "$defs"):  # names of fields and records, not words of JSON Schema
        return {name: _tidied(inner, texts) for name, inner in value.items()}
    return _tidied(value, texts)
