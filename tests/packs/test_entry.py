"""The schema of pack documents says what the reader takes.

To rewrite the file after a change: ``KBAPP_WRITE_SCHEMA=1 python -m pytest tests/packs/test_entry.py``.
"""

import json
import os
from typing import Any

import pytest
import rfc8785
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from kbapp.packs.entry import Lineage, PackCase, Signer, document, pack_schema, pack_schema_text
from kbapp.records.schema import case_schema
from kbapp.resources import resource
from tests.packs import forge
from tests.packs.world import WEIR_LANE, case
from tests.packs.world import document as case_document

REGISTRY: Registry[Any] = Registry().with_resource("urn:provebook:schema:case:1", Resource.from_contents(case_schema()))
VALIDATOR = Draft202012Validator(pack_schema(), registry=REGISTRY)


def test_the_file_is_what_the_records_say() -> None:
    path = resource("schema") / "pack.schema.json"
    if os.environ.get("KBAPP_WRITE_SCHEMA") == "1":
        path.write_text(pack_schema_text(), encoding="utf-8")
    assert path.read_text(encoding="utf-8") == pack_schema_text(), "see the head of this file"
    Draft202012Validator.check_schema(pack_schema())


def test_what_is_written_satisfies_the_schema() -> None:
    entry = PackCase(
        format="provebook-pack-case/1", case=case(shop=WEIR_LANE.plain()), lineage=Lineage(digest="a" * 64)
    )
    VALIDATOR.validate(json.loads(document(entry)))
    signer = Signer(format="provebook-pack/1", shop=WEIR_LANE, public_key="b" * 64)
    Draft202012Validator(
        {**pack_schema(), "$ref": "#/$defs/Signer", "required": [], "properties": {}, "additionalProperties": True}
    ).validate(json.loads(document(signer)))


@pytest.mark.parametrize(
    "changed",
    [{"number": None}, {"shop": None}, {"vehicle_ref": "v-1"}, {"state": "sold"}, {"concern": {}}, {"surprise": 1}],
)
def test_schema_and_reader_refuse_the_same_cases(changed: dict[str, Any]) -> None:
    from tests.packs.world import opened

    value = {name: one for name, one in (case_document(shop=forge.SHOP) | changed).items() if one is not None}
    entry = json.loads(forge.entry(value))
    assert not VALIDATOR.is_valid(entry)
    from kbapp.packs.contents import read_entries

    archive, found = opened(forge.packed(value))
    assert next(iter(read_entries(archive, found))).faults


@pytest.mark.parametrize(
    "lineage", [{}, {"digest": "x"}, {"digest": "a" * 64, "parents": ["A" * 64]}, {"digest": "a" * 64, "more": 1}]
)
def test_lineages_that_are_none(lineage: dict[str, Any]) -> None:
    entry = json.loads(forge.entry(case_document(shop=forge.SHOP)))
    assert not VALIDATOR.is_valid(entry | {"lineage": lineage})


def test_rfc_8785_vectors() -> None:
    """Source: RFC 8785, section 3.2.3 (sorting by UTF-16 units) and appendix B (numbers), from memory [M]."""
    assert rfc8785.dumps(
        {"\u20ac": 1, "\r": 2, "\ufb33": 3, "1": 4, "\U0001f600": 5, "\x80": 6, "\u00f6": 7}
    ).decode() == ('{"\\r":2,"1":4,"\x80":6,"ö":7,"€":1,"😀":5,"\ufb33":3}')
    assert rfc8785.dumps([333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001, -0.0]) == (
        b"[333333333.3333333,1e+30,4.5,0.002,1e-27,0]"
    )
