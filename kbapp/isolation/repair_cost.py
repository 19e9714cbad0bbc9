"""Expected cost of repair: swap in order, one test first, or two tests first (look-ahead).

A fault is repaired by repairing sections in turn, each once, or ended by escalation (refer out). Repairing section i
cures it with ``cures[i]`` if it is the cause. For a single fault, one repair a section and fixed costs, the order by
cure × share / cost is the cheapest swapping order (Heckerman, Breese & Rommelse 1995); with tests in between no
order is called optimal here. All money is in the shop's currency, all batches are rows.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from kbapp.isolation.arrays import Floats, Positions

_BATCH: Final = 250_000
"""How many figures are held at once while looking two tests ahead."""


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Costs as arrays.

    ``tables``: tests × outcomes × hypotheses, rows of zeros where a test has fewer outcomes; ``test_costs``: tests;
    ``later_costs``: tests × tests, the cost of the second right after the first (a shared set-up is paid once);
    ``repair_costs``: hypotheses, ∞ where there is no repair (any more); ``cures``: hypotheses; ``escalation``: money.
    """

    tables: Floats
    test_costs: Floats
    later_costs: Floats
    repair_costs: Floats
    cures: Floats
    escalation: float

    def without_repair(self, n: int) -> "Problem":
        """Returns the problem once section ``n`` was repaired in vain."""
        costs = self.repair_costs.copy()
        costs[n] = np.inf
        return replace(self, repair_costs=costs)


def swap_order(problem: Problem, shares: Floats) -> Positions:
    """Returns hypothesis positions in the cheapest swapping order, per row of ``shares`` (… × hypotheses)."""
    rate = shares * (problem.cures / problem.repair_costs)
    return np.asarray(np.argsort(-rate, axis=-1, kind="stable"), dtype=np.intp)


def swap_cost(problem: Problem, shares: Floats) -> Floats:
    """Returns the expected cost of repairing in order and escalating where that becomes cheaper, per row."""
    order = swap_order(problem, shares)
    costs = problem.repair_costs[order]
    possible = np.isfinite(costs)
    cured = np.take_along_axis(shares * problem.cures, order, axis=-1) * possible
    fixed = np.cumsum(cured, axis=-1)
    still = np.concatenate([np.ones_like(fixed[..., :1]), 1.0 - fixed], axis=-1)
    paid = np.cumsum(np.where(possible, costs, 0.0) * still[..., :-1], axis=-1)
    stop = np.concatenate([np.zeros_like(paid[..., :1]), np.where(possible, paid, np.inf)], axis=-1)
    return np.asarray((stop + still * problem.escalation).min(axis=-1), dtype=np.float64)


def _after(shares: Floats, tables: Floats) -> tuple[Floats, Floats]:
    """Returns (P(outcome), shares after it) for rows × tests × outcomes."""
    joint = shares[:, None, None, :] * tables[None]
    totals = joint.sum(axis=-1)
    return totals, joint / np.where(totals > 0, totals, 1.0)[..., None]


def one_step(problem: Problem, shares: Floats) -> Floats:
    """Returns, per row of ``shares`` and test, the expected cost of that test and then swapping (rows × tests)."""
    totals, after = _after(shares, problem.tables)
    return np.asarray(problem.test_costs + (totals * swap_cost(problem, after)).sum(axis=-1), dtype=np.float64)


def two_step(problem: Problem, shares: Floats) -> Floats:
    """Returns, per test, the expected cost of it, then the best of swapping or one more test, then swapping (tests)."""
    totals, after = _after(shares[None], problem.tables)
    tests, outcomes, size = problem.tables.shape
    rows = after[0].reshape(tests * outcomes, size)
    second = np.repeat(_second_costs(problem), outcomes, axis=0)
    best = np.empty(len(rows))
    step = max(1, _BATCH // max(1, tests * outcomes * size))
    for start in range(0, len(rows), step):
        batch = slice(start, start + step)
        best[batch] = np.minimum(swap_cost(problem, rows[batch]), _best_second(problem, rows[batch], second[batch]))
    expected = (totals[0] * best.reshape(tests, outcomes)).sum(axis=-1)
    return np.asarray(problem.test_costs + expected, dtype=np.float64)


def _best_second(problem: Problem, rows: Floats, costs: Floats) -> Floats:
    totals, after = _after(rows, problem.tables)
    follow = (totals * swap_cost(problem, after)).sum(axis=-1) + costs
    return np.asarray(follow.min(axis=-1, initial=np.inf), dtype=np.float64)


def _second_costs(problem: Problem) -> Floats:
    costs = problem.later_costs.copy()
    np.fill_diagonal(costs, np.inf)
    return costs


def after_repair(problem: Problem, shares: Floats, n: int) -> tuple[float, Floats]:
    """Returns (P(not cured), shares then) after repairing section ``n``."""
    left = shares.copy()
    left[n] *= 1.0 - problem.cures[n]
    total = float(left.sum())
    return total, left / total if total > 0 else left


def best_continuation(problem: Problem, shares: Floats) -> float:
    """Returns the expected cost of the better of swapping and testing first (one test looked at)."""
    swap = float(swap_cost(problem, shares))
    if not len(problem.test_costs):
        return swap
    return min(swap, float(one_step(problem, shares[None])[0].min()))


def repair_first(problem: Problem, shares: Floats, n: int) -> float:
    """Returns the expected cost of repairing section ``n`` now and going on as well as one test ahead can see."""
    failed, left = after_repair(problem, shares, n)
    return float(problem.repair_costs[n]) + failed * best_continuation(problem.without_repair(n), left)


def fit_first(problem: Problem, shares: Floats, cured: Floats, cost: float) -> float:
    """Returns the expected cost of fitting a part now: ``cured`` is its chance to cure each hypothesis."""
    left = shares * (1.0 - cured)
    failed = float(left.sum())
    if failed <= 0:
        return cost
    return cost + failed * best_continuation(problem, left / failed)
