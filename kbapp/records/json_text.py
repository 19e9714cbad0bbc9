"""Reads JSON text strictly: what RFC 8785 cannot carry and what would lose data is refused, never mended."""

import json
from typing import Any, Final, NoReturn

from kbapp.records.fault import Checked, Fault, shorten

MAX_BYTES: Final = 8 * 1024 * 1024
MAX_DEPTH: Final = 40
_SAFE_INTEGER: Final = 2**53 - 1


class _Refused(ValueError):
    def __init__(self, code: str, found: str) -> None:
        super().__init__(code)
        self.fault = Fault("", code, shorten(found))


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for key, value in pairs:
        if key in out:
            raise _Refused("json_duplicate_key", key)
        out[key] = value
    return out


def _constant(name: str) -> NoReturn:
    raise _Refused("json_not_a_number", name)


def _integer(digits: str) -> int:
    if len(digits) > 17 or abs(int(digits)) > _SAFE_INTEGER:
        raise _Refused("json_integer_too_large", digits)
    return int(digits)


def _float(digits: str) -> float:
    value = float(digits)
    if value in (float("inf"), float("-inf")):
        raise _Refused("json_number_too_large", digits)
    return value


def _depth_within(text: str, limit: int) -> bool:
    depth, in_string, escaped = 0, False, False
    for char in text:
        if in_string:
            if escaped:
                escaped = False
            elif char == "\\":
                escaped = True
            elif char == '"':
                in_string = False
        elif char == '"':
            in_string = True
        elif char in "[{":
            depth += 1
            if depth > limit:
                return False
        elif char in "]}":
            depth -= 1
    return True


def read_json(data: bytes, max_bytes: int = MAX_BYTES) -> Checked[Any]:
    """Returns the value of a JSON text in UTF-8, or the one fault that kept it from being read.

    Refused are: more than ``max_bytes`` bytes, bytes that are no UTF-8, lone surrogates, nesting deeper than 40,
    a key given twice, NaN and infinities, integers beyond ±(2^53−1) (RFC 8785 and RFC 8259 section 6).
    """
    if len(data) > max_bytes:
        return Checked(faults=(Fault("", "json_too_large", str(len(data)), str(max_bytes)),))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return Checked(faults=(Fault("", "json_not_utf8", str(error.start)),))
    if not _depth_within(text, MAX_DEPTH):
        return Checked(faults=(Fault("", "json_too_deep", "", str(MAX_DEPTH)),))
    try:
        value = json.loads(
            text, object_pairs_hook=_pairs, parse_constant=_constant, parse_int=_integer, parse_float=_float
        )
        json.dumps(value, ensure_ascii=False).encode("utf-8")
    except _Refused as error:
        return Checked(faults=(error.fault,))
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        code = "json_truncated" if error.pos >= len(text.rstrip()) else "json_syntax"
        return Checked(faults=(Fault("", code, place, error.msg),))
    except UnicodeEncodeError:
        return Checked(faults=(Fault("", "json_lone_surrogate"),))
    if value is None:
        return Checked(faults=(Fault("", "json_empty"),))
    return Checked(value)
