"""Moments as a workshop knows them: an instant (RFC 3339), a date, or only a month (``2026-05``)."""

import re
from datetime import UTC, date, datetime
from typing import Annotated

from pydantic import AfterValidator
from pydantic_core import PydanticCustomError

_MONTH = re.compile(r"[0-9]{4}-(0[1-9]|1[0-2])")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_INSTANT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,9})?([Zz]|[+-][0-9]{2}:[0-9]{2})"
)


def parse_moment(text: str) -> datetime:
    """Returns the first instant a moment can mean, in UTC (a date or month counts as UTC).

    Raises:
        ValueError: the text is no RFC 3339 instant, date or month.
    """
    if _MONTH.fullmatch(text):
        day = date.fromisoformat(text + "-01")
    elif _DATE.fullmatch(text):
        day = date.fromisoformat(text)
    elif _INSTANT.fullmatch(text):
        return datetime.fromisoformat(text.upper()).astimezone(UTC)
    else:
        raise ValueError(text)
    return datetime(day.year, day.month, day.day, tzinfo=UTC)


def is_instant(text: str) -> bool:
    """Returns whether a moment is known to the second (and not only a date or month)."""
    return bool(_INSTANT.fullmatch(text))


def _checked(text: str) -> str:
    try:
        parse_moment(text)
    except (ValueError, OverflowError):
        raise PydanticCustomError("moment", "not a moment", {}) from None
    return text


Moment = Annotated[str, AfterValidator(_checked)]
"""An instant (RFC 3339 with offset), a date or a month, kept as it was written."""


def instant_now() -> str:
    """Returns the present instant as RFC 3339 in local time, to the second."""
    return datetime.now().astimezone().isoformat(timespec="seconds")
