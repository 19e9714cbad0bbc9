"""Minutes and money until the fault was isolated."""

from dataclasses import dataclass

import numpy as np

from kbapp.ledger.columns import Flags, Floats, Numbers, counts, last_rows, sums
from kbapp.ledger.figures import Spread, spread
from kbapp.ledger.work import Work


@dataclass(frozen=True, slots=True)
class EffortToIsolation:
    """Over vehicles (each by its latest case), up to the last isolating test before the cure.

    ``minutes``: hands-on minutes of the shop's own tests and fittings; ``unwritten``: cases left out of them because a
    test or fitting has no minutes. ``money``: what the parts fitted until then cost, by whoever, a spread a currency;
    nothing fitted counts as 0 in the shop's currency. ``never``: cases that no test isolated.
    """

    minutes: Spread | None
    unwritten: int
    money: tuple[tuple[str, Spread], ...]
    never: int


def effort_to_isolation(done: Work, currency: str) -> EffortToIsolation:
    """Returns what isolating took; ``currency`` is the shop's."""
    size = len(done.isolated_at)
    latest = last_rows(done.vehicle, np.arange(size, dtype=np.int64))
    isolated = latest[done.isolated_at[latest] >= 0]
    minutes, missing = _minutes(done)
    written = isolated[missing[isolated] == 0]
    money = _money(done, isolated, currency)
    spreads = ((unit, spread(values)) for unit, values in sorted(money.items()))
    return EffortToIsolation(
        minutes=spread(minutes[written].tolist()),
        unwritten=len(isolated) - len(written),
        money=tuple((unit, found) for unit, found in spreads if found is not None),
        never=len(latest) - len(isolated),
    )


def _minutes(done: Work) -> tuple[Floats, Numbers]:
    """Returns, for each case, its own minutes up to isolation and how many of its lines have none."""
    size, end = len(done.isolated_at), done.isolated_at
    trials, fittings = done.trials, done.fittings
    tests = trials.own & (trials.line <= end[trials.job])
    parts = fittings.fitted & fittings.own & (fittings.line < end[fittings.job])
    total, missing = np.zeros(size), np.zeros(size, dtype=np.int64)
    for job, values in ((trials.job[tests], trials.minutes[tests]), (fittings.job[parts], fittings.minutes[parts])):
        total += sums(job, values, size)
        missing += counts(job[np.isnan(values)], size)
    return total, missing


def _money(done: Work, isolated: Numbers, currency: str) -> dict[str, list[float]]:
    """Returns currency → what each isolated case had spent on parts by then."""
    fittings, size = done.fittings, len(done.isolated_at)
    spent: Flags = fittings.fitted & (fittings.line < done.isolated_at[fittings.job]) & ~np.isnan(fittings.cost)
    chosen = np.zeros(size, dtype=np.bool_)
    chosen[isolated] = True
    spent &= chosen[fittings.job]
    out: dict[str, list[float]] = {}
    nothing = chosen.copy()
    nothing[fittings.job[spent]] = False
    if nothing.any():
        out[currency] = [0.0] * int(nothing.sum())
    for code, unit in enumerate(fittings.currency.words):
        rows = np.flatnonzero(spent & (fittings.currency.codes == code))
        totals = sums(fittings.job[rows], fittings.cost[rows], size)
        if len(rows):
            out.setdefault(unit, []).extend(totals[np.unique(fittings.job[rows])].tolist())
    return out
