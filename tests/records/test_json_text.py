import json
import time
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kbapp.records.json_text import MAX_BYTES, MAX_DEPTH, _outside_strings, read_json

_SAFE = 2**53 - 1
_SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-_SAFE, _SAFE)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text()
)
_JSON = st.recursive(_SCALARS, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=12)


def _code(data: bytes) -> str:
    checked = read_json(data)
    assert checked.value is None
    assert len(checked.faults) == 1
    return checked.faults[0].code


@given(_JSON.filter(lambda value: value is not None), st.booleans(), st.sampled_from([None, 1, "\t"]))
def test_everything_json_holds_is_read_as_it_is(value: Any, ascii_only: bool, indent: Any) -> None:
    data = json.dumps(value, ensure_ascii=ascii_only, indent=indent).encode("utf-8", "surrogatepass")
    try:
        data.decode("utf-8")
        json.dumps(value, ensure_ascii=False).encode("utf-8")
    except UnicodeError:
        assert _code(data) in ("json_lone_surrogate", "json_not_utf8")
        return
    assert read_json(data).value == value


@given(st.binary(max_size=60) | st.text(alphabet='{}[]":,\\0123456789.eE+-tfnu \n').map(str.encode))
@example(b'{"a": {}')
def test_nothing_crashes_and_nothing_is_mended(data: bytes) -> None:
    checked = read_json(data)
    assert (checked.value is None) != (not checked.faults)
    if checked.value is not None:
        assert json.loads(data.decode("utf-8-sig")) == checked.value


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "json_empty"),
        (b" \n", "json_empty"),
        (b"null", "json_empty"),
        (b"\xff\xfe{\x00}\x00", "json_not_utf8"),
        (b'{"a": 1', "json_truncated"),
        (b'{"a": "tex', "json_truncated"),
        (b'{"a": tru', "json_truncated"),
        (b'{"a": -', "json_truncated"),
        (b'{"a": 1,}', "json_syntax"),
        (b"{'a': 1}", "json_syntax"),
        (b'{"a": 1} {}', "json_syntax"),
        (b'{"a": 1, "b": {"c": 1, "c": 1}}', "json_duplicate_key"),
        (b'{"a": 1, "\\u0061": 2}', "json_duplicate_key"),
        (b"[NaN]", "json_not_a_number"),
        (b"[-Infinity]", "json_not_a_number"),
        (b"[9007199254740992]", "json_integer_too_large"),
        (b"[-9007199254740992]", "json_integer_too_large"),
        (b"[" + b"9" * 5000 + b"]", "json_integer_too_large"),
        (b"[1e309]", "json_number_too_large"),
        (b"[" + b"9" * 310 + b".0]", "json_number_too_large"),
        (b'["\\ud800"]', "json_lone_surrogate"),
        (b'{"\\udc00": 1}', "json_lone_surrogate"),
        (b"[" * (MAX_DEPTH + 1) + b"]" * (MAX_DEPTH + 1), "json_too_deep"),
        (b'{"a":' * 41 + b"1" + b"}" * 41, "json_too_deep"),
    ],
)
def test_what_json_cannot_carry_safely_is_refused(data: bytes, code: str) -> None:
    assert _code(data) == code


def test_the_edges_are_taken() -> None:
    assert read_json(b"\xef\xbb\xbf[1]").value == [1]
    assert read_json(b"[9007199254740991, -9007199254740991]").value == [_SAFE, -_SAFE]
    assert read_json(b"[9007199254740992.0, 1234567890123456789e2, 0.12345678901234567890]").faults == ()
    assert read_json(b'["\\ud83d\\ude00", "12345678901234567890", "[[[[", "NaN"]').unwrap()[0] == "😀"
    assert read_json(b"[" * MAX_DEPTH + b"]" * MAX_DEPTH).faults == ()
    assert read_json(json.dumps(["[" * 99 + '"\\']).encode()).faults == ()
    assert read_json(b"false").value is False


def test_a_fault_says_where() -> None:
    assert read_json(b'{"a": 1,\n "b" 2}').faults[0].found == "2:6"
    large = read_json(b" " * 10 * 1024 * 1024).faults[0]
    assert (large.found, large.expected) == ("10485760", str(MAX_BYTES))


@given(_JSON, st.integers(1, 9))
def test_the_window_makes_no_difference_to_what_stands_outside_strings(value: Any, window: int) -> None:
    def brackets(value: Any) -> str:
        if isinstance(value, dict):
            return "{" + "".join(map(brackets, value.values())) + "}"
        return "[" + "".join(map(brackets, value)) + "]" if isinstance(value, list) else ""

    bare = _outside_strings(json.dumps(value).encode(), window)
    assert "".join(char for char in bare.decode() if char in "[]{}") == brackets(value)


def _megabytes(piece: bytes) -> bytes:
    return b"[" + piece * ((MAX_BYTES - 2) // len(piece)) + b"1]"


@pytest.mark.parametrize(
    "data",
    [
        _megabytes(b'{"id": "e1", "kind": "note", "text": "some words of a line"},'),
        _megabytes(b'"\\"' + b"[" * 50 + b'",'),
        b'"' + b"\\\\" * (MAX_BYTES // 2 - 1),
        b"[" * MAX_BYTES,
        b"[[]," * (MAX_BYTES // 4),
        b"]" * MAX_BYTES,
    ],
    ids=["lines", "brackets in texts", "backslashes", "open", "ladder", "close"],
)
def test_eight_megabytes_are_checked_at_once(data: bytes) -> None:
    start = time.process_time()
    read_json(data)
    assert time.process_time() - start < 2  # well under 1 s on a quiet machine
