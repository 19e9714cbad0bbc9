"""Makes dates and distances coarse: moments to the month, odometers to the full thousand."""

import re
from collections.abc import Mapping
from typing import Any, Final

MOMENTS: Final = frozenset({"at", "opened", "since", "due", "done"})
"""Names of the fields that hold a moment."""
ODOMETERS: Final = frozenset({"odometer", "due_odometer"})
ROUNDED_TO: Final = 1000
_MONTH: Final = 7

_THOUSANDS: Final = re.compile(r"(?<![\w.,])(\d{1,3})([ .,'\u00a0\u202f])(\d{3})(?![\d.,]\d|\d)")


def to_month(moment: str) -> str:
    """Returns the month of a moment."""
    return moment[:_MONTH]


def rounded(value: float) -> int:
    """Returns a distance to the full thousand, halves up."""
    return int((value + ROUNDED_TO / 2) // ROUNDED_TO * ROUNDED_TO)


def coarse_plain(value: Any) -> Any:
    """Returns JSON values with every moment and odometer made coarse, and all else as it is."""
    if isinstance(value, Mapping):
        return {name: _coarse_field(name, inner) for name, inner in value.items()}
    return [coarse_plain(item) for item in value] if isinstance(value, list) else value


def _coarse_field(name: str, value: Any) -> Any:
    if name in MOMENTS and isinstance(value, str):
        return to_month(value)
    if name in ODOMETERS and isinstance(value, Mapping):
        return {**value, "value": rounded(value["value"])}
    return coarse_plain(value)


def rounded_text(digits: str) -> str:
    """Returns a distance as written (``184,322``, ``184322``, ``184 322``) to the full thousand, written alike."""
    match = _THOUSANDS.fullmatch(digits)
    value = rounded(int(re.sub(r"\D", "", digits)))
    return f"{value // 1000}{match[2]}{value % 1000:03}" if match else str(value)
