"""The documents of a pack that are no cases themselves: a case with its lineage, and who signed the pack."""

import json
from typing import Annotated, Any, Final, Literal

import rfc8785
from pydantic import Field, StringConstraints
from pydantic.json_schema import models_json_schema

from kbapp.records.base import Record
from kbapp.records.case import Case, Sha256, Shop

PACK_FORMAT: Final = "provebook-pack/1"
ENTRY_FORMAT: Final = "provebook-pack-case/1"
MOST_PARENTS: Final = 1000

Key = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
"""An Ed25519 public key in 64 lower-case hexadecimal digits."""


class Lineage(Record):
    """Where a version of a case stands: its own digest, and those of the versions it came from, oldest first.

    A digest is the SHA-256 of the blanked case's canonical JSON (RFC 8785), fields at their default left out.
    """

    digest: Sha256
    parents: Annotated[tuple[Sha256, ...], Field(max_length=MOST_PARENTS)] = ()


class PackCase(Record):
    """One file under ``data/cases``."""

    format: Literal["provebook-pack-case/1"]
    case: Case
    lineage: Lineage


class Signer(Record):
    """``signer.json``: the shop that made the pack, and the key that signed it."""

    format: Literal["provebook-pack/1"]
    shop: Shop
    public_key: Key


def document(record: Record) -> bytes:
    """Returns a document of a pack as it is written: canonical JSON and a line feed."""
    return rfc8785.dumps(record.plain()) + b"\n"


def pack_schema() -> dict[str, Any]:
    """Returns the JSON Schema of the documents of a pack: a case entry, and the signer under ``$defs``.

    The case in an entry is the one of ``case.schema.json``, with the number and shop a pack cannot do without.
    """
    _, schema = models_json_schema([(Lineage, "validation"), (Signer, "validation")])
    case = {
        "allOf": [
            {"$ref": "urn:provebook:schema:case:1"},
            {"required": ["number", "shop"], "not": {"required": ["vehicle_ref"]}},
        ]
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:provebook:schema:pack:1",
        "title": "Provebook pack documents",
        "type": "object",
        "additionalProperties": False,
        "required": ["format", "case", "lineage"],
        "properties": {"format": {"const": ENTRY_FORMAT}, "case": case, "lineage": {"$ref": "#/$defs/Lineage"}},
        "$defs": schema["$defs"],
    }


def pack_schema_text() -> str:
    """Returns the schema as it stands in ``schema/pack.schema.json``."""
    return json.dumps(pack_schema(), indent=2, ensure_ascii=True, sort_keys=True) + "\n"
