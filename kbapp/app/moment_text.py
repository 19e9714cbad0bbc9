"""Moments as they are typed: a month, a day, or a day with its time (``2026-05-31 10:42``, in local time)."""

import re
from datetime import datetime
from typing import Final

from kbapp.records.moment import is_instant

_TYPED: Final = re.compile(r"(\d{4}-\d{2}-\d{2})[ T]+(\d{1,2}):(\d{2})")


def moment_text(moment: str) -> str:
    """Returns a moment as it would be typed, in the clock time it was noted in; months and days stand as they are."""
    return f"{moment[:10]} {moment[11:16]}" if is_instant(moment) else moment


def moment_from_text(text: str) -> str:
    """Returns the moment in a text; anything that is no day with a time is returned as it stands."""
    match = _TYPED.fullmatch(text.strip())
    if match is None:
        return text.strip()
    try:
        at = datetime.fromisoformat(f"{match[1]}T{int(match[2]):02}:{match[3]}:00")
    except ValueError:
        return text.strip()
    return at.astimezone().isoformat(timespec="seconds")
