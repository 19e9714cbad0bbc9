"""Moments as a workshop knows them: an instant (RFC 3339), a date, or only a month (``2026-05``)."""

import re
from datetime import UTC, date, datetime
from typing import Annotated, Any, Final

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

# Workshops keep no records of other centuries; a slip like 0206-05 is better refused than sorted first.
_YEAR: Final = "(19|20)[0-9]{2}"
_MONTH_PART: Final = f"{_YEAR}-(0[1-9]|1[0-2])"
# The calendar as an expression, so that the schema refuses 2026-02-30 where formats are only remarks to a validator.
_LEAP: Final = "((19|20)(0[48]|[2468][048]|[13579][26])|2000)"
_DATE_PART: Final = (
    f"({_YEAR}-((0[13578]|1[02])-(0[1-9]|[12][0-9]|3[01])|(0[469]|11)-(0[1-9]|[12][0-9]|30)|02-(0[1-9]|1[0-9]|2[0-8]))"
    f"|{_LEAP}-02-29)"
)
_TIME_PART: Final = (
    r"[Tt]([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\.[0-9]{1,9})?([Zz]|[+-]([01][0-9]|2[0-3]):[0-5][0-9])"
)
_MONTH: Final = re.compile(_MONTH_PART)
_DATE: Final = re.compile(_DATE_PART)
_INSTANT: Final = re.compile(_DATE_PART + _TIME_PART)

# (?![\s\S]) is the end of the text in every dialect of regular expressions; $ may stand before a line feed.
_SCHEMA: Final[dict[str, Any]] = {
    "anyOf": [
        {"format": "date-time", "pattern": f"^{_DATE_PART}{_TIME_PART}(?![\\s\\S])"},
        {"format": "date", "pattern": f"^{_DATE_PART}(?![\\s\\S])"},
        {"pattern": f"^{_MONTH_PART}(?![\\s\\S])"},
    ]
}


def parse_moment(text: str) -> datetime:
    """Returns the first instant a moment can mean, in UTC (a date or month counts as UTC).

    Raises:
        ValueError: the text is no RFC 3339 instant, date or month of the years 1900 to 2099. A leap second (``:60``)
            is none either: no date and time type can hold it.
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
    except ValueError:
        raise PydanticCustomError("moment", "not a moment", {}) from None
    return text


Moment = Annotated[str, AfterValidator(_checked), Field(json_schema_extra=_SCHEMA)]
"""An instant (RFC 3339 with offset), a date or a month, kept as it was written."""


def instant_now() -> str:
    """Returns the present instant as RFC 3339 in local time, to the second."""
    return datetime.now().astimezone().isoformat(timespec="seconds")
