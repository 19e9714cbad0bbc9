"""When to ask again after a repair: after days and after a distance."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from kbapp.records.case import Case, FollowUp, Odometer

DAYS: Final = (30, 90)
"""Days after the signature (common practice: a month and a quarter)."""
DISTANCE: Final = Odometer(value=5_000, unit="km")
_MILES: Final = 3_000
"""The round figure near it where the odometer counts miles (common practice)."""


@dataclass(frozen=True, slots=True)
class FollowUpPlan:
    """After how many days, and after what distance (None: not by distance), a repair is asked after."""

    days: tuple[int, ...] = DAYS
    distance: Odometer | None = DISTANCE


def planned(case: Case, at: str, plan: FollowUpPlan) -> tuple[FollowUp, ...]:
    """Returns the follow-ups of a repair signed at an instant; dates the case has already are not repeated."""
    signed = date.fromisoformat(at[:10])
    due = [(signed + timedelta(days=days)).isoformat() for days in plan.days]
    known = {one.due for one in case.follow_ups}
    by_day = tuple(FollowUp(due=day) for day in due if day not in known)
    odometer = case.vehicle.odometer if case.vehicle is not None else None
    waiting = any(one.due_odometer is not None and one.done is None for one in case.follow_ups)
    if plan.distance is None or odometer is None or waiting:
        return by_day
    return (*by_day, FollowUp(due_odometer=_later(odometer, plan.distance)))


def _later(now: Odometer, distance: Odometer) -> Odometer:
    if now.unit == distance.unit:
        return Odometer(value=now.value + distance.value, unit=now.unit)
    return Odometer(value=now.value + _MILES if now.unit == "mi" else now.value + distance.value, unit=now.unit)
