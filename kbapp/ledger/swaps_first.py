"""Swaps before isolation, month by month: was a part fitted before any test had split the system?"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from kbapp.isolation.intervals import Interval, wilson
from kbapp.ledger.columns import Flags, Numbers, Words, any_by, sums
from kbapp.ledger.figures import Amounts, add_up
from kbapp.ledger.work import UNCHANGED, Fittings, Work

Whose = Literal["own", "reported"]
WHOSE: Final[tuple[Whose, ...]] = ("own", "reported")


@dataclass(frozen=True, slots=True)
class MonthLine:
    """One month (``2026-03``, blank where nothing is dated).

    ``own`` and ``reported``: vehicles with a part fitted before any isolating test, out of those with any part fitted
    to find the fault; ``in_vain``: what the parts of the month that changed nothing cost.
    """

    month: str
    own: Interval
    reported: Interval
    in_vain: Amounts


def month_lines(done: Work) -> tuple[MonthLine, ...]:
    """Returns the months in order, undated parts first."""
    fittings = done.fittings
    months = _months(done)
    own, reported = _shares(fittings, months, fittings.own), _shares(fittings, months, ~fittings.own)
    costs = _vain(fittings, months)
    lines = [
        MonthLine(month, own[code], reported[code], costs[code])
        for code, month in enumerate(months.words)
        if own[code].of or reported[code].of
    ]
    return tuple(sorted(lines, key=lambda line: line.month))


def _vain(fittings: Fittings, months: Words) -> list[Amounts]:
    """Returns what the parts of each month that changed nothing cost."""
    size = len(months.words)
    vain = fittings.fitted & (fittings.outcome == UNCHANGED) & ~np.isnan(fittings.cost)
    costs: list[list[tuple[str, float]]] = [[] for _ in range(size)]
    for code, currency in enumerate(fittings.currency.words):
        rows = np.flatnonzero(vain & (fittings.currency.codes == code))
        totals = sums(months.codes[rows], fittings.cost[rows], size)
        for month in np.unique(months.codes[rows]).tolist():
            costs[month].append((currency, float(totals[month])))
    return [add_up(of_month) for of_month in costs]


def _months(done: Work) -> Words:
    """Returns the month of each fitting: its own, else that in which the case was opened."""
    fittings, jobs = done.fittings, done.basis.jobs
    known: dict[str, int] = {"": 0}
    own, opened = (
        np.array([known.setdefault(word[:7], len(known)) for word in column.words], dtype=np.int64)
        for column in (fittings.at, jobs.opened_day)
    )
    if not len(fittings.job):
        return Words(fittings.job, ())
    by_part, by_case = own[fittings.at.codes], opened[jobs.opened_day.codes[done.basis.counted[fittings.job]]]
    return Words(np.where(by_part > 0, by_part, by_case), tuple(known))


def _shares(fittings: Fittings, months: Words, whose: Flags) -> list[Interval]:
    rows = np.flatnonzero(fittings.fitted & whose)
    size = 1 + (int(fittings.vehicle.max()) if len(fittings.vehicle) else 0)
    keys, early = any_by(months.codes[rows] * size + fittings.vehicle[rows], fittings.early[rows])
    of = np.bincount(keys // size, minlength=len(months.words))
    before = np.bincount(keys[early] // size, minlength=len(months.words))
    return [wilson(int(k), int(n)) for k, n in zip(before, of, strict=True)]


def all_time(done: Work) -> dict[Whose, Interval]:
    """Returns the shares over the whole time, each vehicle once."""
    fittings = done.fittings

    def share(whose: Flags) -> Interval:
        rows: Numbers = np.flatnonzero(fittings.fitted & whose)
        keys, early = any_by(fittings.vehicle[rows], fittings.early[rows])
        return wilson(int(early.sum()), len(keys))

    return {"own": share(fittings.own), "reported": share(~fittings.own)}
