import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.records.map_document import canonical_map, check_map, map_digest, read_map
from tests.isolation.examples import map_document, points, section
from tests.records.documents import FOLDER

GOOD = map_document([section("a"), section("b")], [points("t", "a")])
FULL = (FOLDER / "map-1-full.json").read_bytes()


def test_the_example_of_the_format_is_read() -> None:
    found = read_map(FULL).unwrap()
    assert found.id == "low-pedal"
    assert check_map(found.plain()).unwrap() == found


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "json_empty"),
        (b'{"format": "prov', "json_truncated"),
        (b"[]", "wrong_type"),
        (b"null", "json_empty"),
        (b"{}", "field_missing"),
        (b'{"format": "provebook-map/2"}', "format_newer"),
        (b'{"format": "provebook-case/1"}', "format_wrong"),
        (b'{"format": 7}', "format_wrong"),
        (b"\xff\xfe", "json_not_utf8"),
    ],
)
def test_what_is_no_map_is_one_fault_each(data: bytes, code: str) -> None:
    assert code in [fault.code for fault in read_map(data).faults]


def test_equal_maps_have_equal_digests() -> None:
    one = check_map(GOOD).unwrap()
    other = check_map({**GOOD, "version": 1, "families": []}).unwrap()
    assert canonical_map(one) == canonical_map(other)
    assert map_digest(one) == map_digest(other) != map_digest(check_map({**GOOD, "version": 2}).unwrap())
    assert len(map_digest(one)) == 64


_LEAVES = st.one_of(st.none(), st.booleans(), st.integers(-3, 3), st.floats(allow_nan=False), st.text(max_size=3))
_VALUES = st.recursive(
    _LEAVES, lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=3), inner, max_size=2)
)


@settings(max_examples=150)
@given(st.sampled_from(sorted({*GOOD, "good_first", "nested", "priors_by_symptom"})), _VALUES)
def test_the_reader_never_crashes(field: str, value: object) -> None:
    found = check_map(json.loads(json.dumps({**GOOD, field: value})))
    assert (found.value is None) == bool(found.faults)
