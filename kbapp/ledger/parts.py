"""Parts: planned, fitted, cured, unchanged, unproved, and what those fitted in vain cost."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from kbapp.isolation.intervals import Interval, wilson
from kbapp.ledger.columns import Flags, Numbers, commonest, counts, last_rows, same_name, sums
from kbapp.ledger.figures import Amounts, add_up, enough
from kbapp.ledger.work import CURED, UNCHANGED, UNPROVED, Fittings


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part. Counts are vehicles, each once and by its last fitting; money and minutes are of every fitting.

    ``planned``: vehicles it was planned for and never fitted to; ``cured`` is out of those fitted; ``spent`` on all
    fittings, ``in_vain`` on those that changed nothing, with their labour minutes.
    """

    part: str
    planned: int
    cured: Interval
    unchanged: int
    unproved: int
    spent: Amounts
    in_vain: Amounts
    minutes_in_vain: float

    @property
    def fitted(self) -> int:
        """Vehicles it was fitted to."""
        return self.cured.of


def part_lines(fittings: Fittings) -> tuple[PartLine, ...]:
    """Returns every part planned or fitted to find a fault: those with enough vehicles first, by what went in vain.

    The order is by vehicles left unchanged, which holds across currencies; parts with too few follow by name.
    """
    size = fittings.names
    key = fittings.vehicle * max(1, size) + fittings.name
    rows = np.flatnonzero(fittings.fitted)
    last = rows[last_rows(key[rows], fittings.order[rows])]
    outcomes = [counts(fittings.name[last[fittings.outcome[last] == n]], size) for n in (CURED, UNCHANGED, UNPROVED)]
    never = np.setdiff1d(key[~fittings.fitted], key[rows])
    planned = counts(never % max(1, size), size)
    vain = fittings.fitted & (fittings.outcome == UNCHANGED)
    spent, in_vain = _amounts(fittings, fittings.fitted), _amounts(fittings, vain)
    minutes = sums(fittings.name[vain], fittings.minutes[vain], size)
    lines = [
        PartLine(
            part=name,
            planned=int(planned[n]),
            cured=wilson(int(outcomes[0][n]), int(sum(of[n] for of in outcomes))),
            unchanged=int(outcomes[1][n]),
            unproved=int(outcomes[2][n]),
            spent=spent[n],
            in_vain=in_vain[n],
            minutes_in_vain=float(minutes[n]),
        )
        for n, name in enumerate(commonest(fittings.part, fittings.name, size))
        if name
    ]
    return tuple(sorted(lines, key=_order))


def _amounts(fittings: Fittings, rows: Flags) -> list[Amounts]:
    """Returns the sums of each name, a currency each."""
    priced = rows & ~np.isnan(fittings.cost)
    out: list[list[tuple[str, float]]] = [[] for _ in range(fittings.names)]
    for code, currency in enumerate(fittings.currency.words):
        of: Numbers = np.flatnonzero(priced & (fittings.currency.codes == code))
        totals = sums(fittings.name[of], fittings.cost[of], fittings.names)
        for name in np.unique(fittings.name[of]).tolist():
            out[name].append((currency, float(totals[name])))
    return [add_up(costs) for costs in out]


def _order(line: PartLine) -> tuple[object, ...]:
    if enough(line.cured):
        return False, -line.unchanged, line.cured.successes, same_name(line.part)
    return True, 0, 0, same_name(line.part)


def in_vain(lines: Iterable[PartLine]) -> Amounts:
    """Returns what all parts fitted in vain cost."""
    return add_up((amount.currency, amount.value) for line in lines for amount in line.in_vain)
