"""Comebacks: how long repairs lasted, and what came back."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np

from kbapp.isolation.intervals import Interval, wilson
from kbapp.ledger.basis import Basis
from kbapp.ledger.columns import Numbers, any_by, same_name
from kbapp.ledger.rows import Jobs, Symptoms

HORIZONS: Final = (30, 90, 365)
"""Days after which a repair is looked back on (common practice: a month, a quarter, a year)."""
_UNKNOWN: Final = np.iinfo(np.int64).min


@dataclass(frozen=True, slots=True)
class Comeback:
    """One repair that came back. ``days`` and ``km`` are None where one end is unknown.

    ``again`` is blank where the case it came back as is not in the book; ``same_concern`` is None then.
    """

    case: str
    again: str
    days: int | None
    km: float | None
    same_concern: bool | None
    cause_before: str
    cause_after: str

    @property
    def same_cause(self) -> bool | None:
        """Whether it came back with the cause it had, None where one is unknown."""
        if not self.cause_before or not self.cause_after:
            return None
        return same_name(self.cause_before) == same_name(self.cause_after)


@dataclass(frozen=True, slots=True)
class Horizon:
    """Vehicles that came back within ``days``, out of those whose repair is at least so old."""

    days: int
    came_back: Interval


@dataclass(frozen=True, slots=True)
class Comebacks:
    """Every comeback, shortest first (unknown ones last), and the share within each horizon.

    ``undated``: comebacks without days, left out of the shares together with their repairs.
    """

    cases: tuple[Comeback, ...]
    horizons: tuple[Horizon, ...]
    undated: int


def comebacks(found: Basis, symptoms: Symptoms, today: str) -> Comebacks:
    """Returns the comebacks of the repairs asked for, as of ``today`` (an ISO date)."""
    repairs = found.repairs()
    ended = _ended(found.jobs, repairs)
    terms = _terms(found, symptoms)
    lines: dict[int, Comeback] = {}
    days = np.full(len(repairs), -1, dtype=np.int64)
    unknown = np.zeros(len(repairs), dtype=np.bool_)
    for n in np.flatnonzero(found.returned[repairs]).tolist():
        line = _comeback(found, int(repairs[n]), int(ended[n]), terms)
        lines[n] = line
        unknown[n] = line.days is None
        days[n] = -1 if line.days is None else line.days
    listed = sorted(lines.values(), key=lambda line: (line.days is None, line.days or 0, line.case))
    age = np.where(ended == _UNKNOWN, -1, date.fromisoformat(today).toordinal() - ended)
    age[unknown] = -1
    vehicle = found.vehicle[repairs]
    horizons = tuple(_horizon(vehicle, age, days, horizon) for horizon in HORIZONS)
    return Comebacks(tuple(listed), horizons, int(unknown.sum()))


def _horizon(vehicle: Numbers, age: Numbers, days: Numbers, horizon: int) -> Horizon:
    old = age >= horizon
    keys, back = any_by(vehicle[old], (days[old] >= 0) & (days[old] <= horizon))
    return Horizon(horizon, wilson(int(back.sum()), len(keys)))


def _ordinals(texts: tuple[str, ...]) -> Numbers:
    """Returns the day number of each text that begins with a whole date."""
    numbers = [date.fromisoformat(text[:10]).toordinal() if len(text) >= 10 else _UNKNOWN for text in texts]
    return np.array(numbers, dtype=np.int64)


def _ended(jobs: Jobs, places: Numbers) -> Numbers:
    """Returns the day each repair was signed, else the day its case was opened."""
    if not len(places):
        return places
    signed = _ordinals(jobs.signed_at.words)[jobs.signed_at.codes[places]]
    opened = _ordinals(jobs.opened_day.words)[jobs.opened_day.codes[places]]
    return np.where(signed == _UNKNOWN, opened, signed)


def _terms(found: Basis, symptoms: Symptoms) -> Mapping[int, frozenset[str]]:
    """Returns revision → symptoms, of the cases that came back and of those they came back as."""
    if not found.again:
        return {}
    places = np.array([*found.again, *(there for others in found.again.values() for there in others)], dtype=np.int64)
    rows = np.flatnonzero(np.isin(symptoms.revision, found.jobs.revision[places]))
    terms: dict[int, set[str]] = {}
    for row in rows.tolist():
        terms.setdefault(int(symptoms.revision[row]), set()).add(same_name(symptoms.term.at(row)))
    return {revision: frozenset(names) for revision, names in terms.items()}


def _comeback(found: Basis, job: int, ended: int, terms: Mapping[int, frozenset[str]]) -> Comeback:
    jobs, others = found.jobs, found.again.get(job, ())
    before = jobs.cause_part.at(job) or jobs.cause_section.at(job)
    if not others:
        return Comeback(jobs.name(job), "", None, None, None, before, "")
    other = min(others, key=lambda one: (jobs.opened_day.at(one), jobs.id[one]))
    mine, theirs = (terms.get(int(jobs.revision[one]), frozenset()) for one in (job, other))
    return Comeback(
        case=jobs.name(job),
        again=jobs.name(other),
        days=_days(ended, jobs.opened_day.at(other)),
        km=_km(float(jobs.odometer_km[job]), float(jobs.odometer_km[other])),
        same_concern=bool(mine & theirs),
        cause_before=before,
        cause_after=jobs.cause_part.at(other) or jobs.cause_section.at(other),
    )


def _days(ended: int, opened: str) -> int | None:
    if ended == _UNKNOWN or not opened:
        return None
    between = date.fromisoformat(opened).toordinal() - ended
    return between if between >= 0 else None


def _km(before: float, after: float) -> float | None:
    return after - before if after >= before else None  # NaN compares false
