"""Reads JSON text strictly: what RFC 8785 cannot carry and what would lose data is refused, never mended."""

import json
import re
from array import array
from itertools import accumulate
from typing import Any, Final, NoReturn

from kbapp.records.base import SAFE_INTEGER
from kbapp.records.fault import Checked, Fault, shorten

MAX_BYTES: Final = 8 * 1024 * 1024
MAX_DEPTH: Final = 40

_NOT_BRACKETS: Final = bytes(set(range(256)) - set(b"[]{}"))
_STEPS: Final = bytes.maketrans(b"[{]}", b"\x01\x01\xff\xff")
_LONG_WHOLE: Final = re.compile(rb"(?<![0-9.eE+-])-?[0-9]{16,}+(?![.eE])")
# Only a number like one of these can be beyond what a double holds; only then every number is looked at.
_MAYBE_INFINITE: Final = re.compile(rb"[eE]\+?[0-9]{3}|[0-9]{300}")
_SURROGATE_ESCAPE: Final = re.compile(rb"\\u[dD][89a-fA-F]")
_CUT_WORD: Final = re.compile(r"(t(r(ue?)?)?|f(a(l(se?)?)?)?|n(u(ll?)?)?|-)?\s*")


class _Refused(ValueError):
    def __init__(self, code: str, found: str) -> None:
        super().__init__(code)
        self.fault = Fault("", code, shorten(found))


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    if len(out) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise _Refused("json_duplicate_key", key)
            seen.add(key)
    return out


def _constant(name: str) -> NoReturn:
    raise _Refused("json_not_a_number", name)


def _float(digits: str) -> float:
    value = float(digits)
    if value in (float("inf"), float("-inf")):
        raise _Refused("json_number_too_large", digits)
    return value


def _outside_strings(data: bytes, window: int = 4 * 1024 * 1024) -> bytes:
    """Returns a JSON text with its strings emptied, worked through in windows so that memory stays bounded.

    After a backslash outside a string the result may be wrong; no parser reads beyond that.
    """
    plain = data.replace(b"\\\\", b"").replace(b'\\"', b"")
    out, inside = [], 0
    for start in range(0, len(plain), window):
        parts = plain[start : start + window].split(b'"')
        out.append(b'"'.join(parts[inside::2]))
        inside = (inside + len(parts) - 1) % 2
    return b"".join(out)


def _too_deep(bare: bytes, limit: int) -> bool:
    """Returns whether a text without strings nests deeper than ``limit``: a running sum of its brackets, at C speed."""
    steps = array("b", bare.translate(_STEPS, _NOT_BRACKETS))
    return max(accumulate(steps), default=0) > limit


def _refused_bytes(data: bytes, max_bytes: int) -> Fault | None:
    if len(data) > max_bytes:
        return Fault("", "json_too_large", str(len(data)), str(max_bytes))
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        return Fault("", "json_not_utf8", str(error.start))
    return None


def _refused_shape(bare: bytes) -> Fault | None:
    if _too_deep(bare, MAX_DEPTH):
        return Fault("", "json_too_deep", "", str(MAX_DEPTH))
    for found in _LONG_WHOLE.finditer(bare):
        digits = found[0]
        if len(digits) > 17 or abs(int(digits)) > SAFE_INTEGER:
            return Fault("", "json_integer_too_large", shorten(digits.decode()))
    return None


def _syntax_fault(text: str, error: json.JSONDecodeError) -> Fault:
    if not text.strip():
        return Fault("", "json_empty")
    cut = error.msg.startswith("Unterminated string") or _CUT_WORD.fullmatch(text, error.pos)
    return Fault("", "json_truncated" if cut else "json_syntax", f"{error.lineno}:{error.colno}")


def _parsed(text: str, data: bytes, bare: bytes) -> Any:
    number = _float if _MAYBE_INFINITE.search(bare) else None
    value = json.loads(text, object_pairs_hook=_pairs, parse_constant=_constant, parse_float=number)
    if _SURROGATE_ESCAPE.search(data):
        json.dumps(value, ensure_ascii=False).encode("utf-8")
    return value


def read_json(data: bytes, max_bytes: int = MAX_BYTES) -> Checked[Any]:
    """Returns the value of a JSON text in UTF-8, or the one fault that kept it from being read.

    Refused are: more than ``max_bytes`` bytes, bytes that are no UTF-8, lone surrogates, nesting deeper than 40,
    a key given twice, NaN and infinities, integers beyond ±(2^53−1) (RFC 8785 and RFC 8259 section 6).
    """
    data = data.removeprefix(b"\xef\xbb\xbf")
    bare = b""
    fault = _refused_bytes(data, max_bytes)
    if fault is None:
        bare = _outside_strings(data)
        fault = _refused_shape(bare)
    if fault:
        return Checked(faults=(fault,))
    text = data.decode("utf-8")
    try:
        value = _parsed(text, data, bare)
    except _Refused as error:
        return Checked(faults=(error.fault,))
    except json.JSONDecodeError as error:
        return Checked(faults=(_syntax_fault(text, error),))
    except UnicodeEncodeError:
        return Checked(faults=(Fault("", "json_lone_surrogate"),))
    return Checked(faults=(Fault("", "json_empty"),)) if value is None else Checked(value)
