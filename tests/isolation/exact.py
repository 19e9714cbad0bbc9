"""The exact optimum by dynamic programming, and what following a policy costs: references for tests only."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.repair_cost import Problem, one_step, repair_first, swap_cost, swap_order, two_step

Kind = Literal["test", "repair", "escalate"]
Action = tuple[Kind, int]
Policy = Callable[[Problem, Floats], Action]


@dataclass(slots=True)
class World:
    """A problem whose tests and repairs are each used once; every state is solved once."""

    problem: Problem

    def optimum(self, shares: Floats) -> float:
        """Returns the least expected cost over all policies."""
        return _solve(self.problem, shares)

    def cost(self, policy: Policy, shares: Floats) -> float:
        """Returns the expected cost of a policy."""
        return _follow(self.problem, policy, shares)


def _solve(problem: Problem, shares: Floats) -> float:
    tests, outcomes = len(problem.test_costs), problem.tables.shape[1]
    repairs = [n for n in range(len(shares)) if np.isfinite(problem.repair_costs[n])]
    memo: dict[tuple[int, int], float] = {}
    base = outcomes + 1

    def value(code: int, done: int, weights: Floats) -> float:
        key = (code, done)
        if key in memo:
            return memo[key]
        total = float(weights.sum())
        best = total * problem.escalation
        if total > 0:
            for n in repairs:
                if not done >> n & 1:
                    left = weights.copy()
                    left[n] *= 1 - problem.cures[n]
                    best = min(best, total * problem.repair_costs[n] + value(code, done | 1 << n, left))
            for t in range(tests):
                if not code // base**t % base:
                    cost = total * problem.test_costs[t]
                    for o in range(outcomes):
                        cost += value(code + (o + 1) * base**t, done, weights * problem.tables[t, o])
                        if cost >= best:
                            break
                    best = min(best, cost)
        memo[key] = best
        return best

    return value(0, 0, shares.copy())


def _follow(problem: Problem, policy: Policy, shares: Floats) -> float:
    kind, n = policy(problem, shares)
    if kind == "escalate":
        return problem.escalation
    if kind == "repair":
        left = shares.copy()
        left[n] *= 1 - problem.cures[n]
        failed = float(left.sum())
        return float(problem.repair_costs[n]) + failed * _follow(problem.without_repair(n), policy, left / failed)
    joint = problem.tables[n] * shares
    totals = joint.sum(axis=1)
    rest = without_test(problem, n)
    return float(problem.test_costs[n]) + sum(
        float(total) * _follow(rest, policy, row / total) for total, row in zip(totals, joint, strict=True) if total > 0
    )


def without_test(problem: Problem, n: int) -> Problem:
    """Returns the problem once test ``n`` has been run."""
    keep = [m for m in range(len(problem.test_costs)) if m != n]
    return Problem(
        problem.tables[keep],
        problem.test_costs[keep],
        problem.later_costs[np.ix_(keep, keep)],
        problem.repair_costs,
        problem.cures,
        problem.escalation,
    )


def _swap(problem: Problem, shares: Floats) -> Action:
    n = int(swap_order(problem, shares)[0])
    if not np.isfinite(problem.repair_costs[n]) or swap_cost(problem, shares) >= problem.escalation - 1e-9:
        return "escalate", -1
    return "repair", n


def swap_first(problem: Problem, shares: Floats) -> Action:
    """Repairs in the cheapest swapping order, never tests."""
    return _swap(problem, shares)


def likeliest_first(problem: Problem, shares: Floats) -> Action:
    """Repairs the section with the highest share, never tests."""
    left = np.where(np.isfinite(problem.repair_costs), shares, -1.0)
    return ("repair", int(left.argmax())) if left.max() >= 0 else ("escalate", -1)


def one_step_ahead(problem: Problem, shares: Floats) -> Action:
    """Tests where one test and then swapping is cheaper than swapping."""
    if len(problem.test_costs):
        values = one_step(problem, shares[None])[0]
        if values.min() < swap_cost(problem, shares) - 1e-9:
            return "test", int(values.argmin())
    return _swap(problem, shares)


def advised(problem: Problem, shares: Floats) -> Action:
    """Follows the engine: the cheaper of "test first" and "repair now", as its two costs say."""
    fits = {n: repair_first(problem, shares, n) for n in range(len(shares)) if np.isfinite(problem.repair_costs[n])}
    now = min(fits.values(), default=np.inf)
    first = np.inf
    if len(problem.test_costs):
        values = two_step(problem, shares)
        first = float(values.min())
    if min(now, first) >= problem.escalation:
        return "escalate", -1
    if first < now - 1e-9:
        return "test", int(values.argmin())
    return "repair", min(fits, key=fits.__getitem__)


def random_problem(seed: int, faults: int = 6, tests: int = 6) -> tuple[Problem, Floats]:
    """Returns a seeded problem: faults with repairs, one without (not on the map), tests that split at random."""
    rng = np.random.default_rng(seed)
    shares = rng.dirichlet(np.full(faults + 1, 1.5))
    tables = np.empty((tests, 2, faults + 1))
    for t in range(tests):
        pointed = np.zeros(faults + 1, dtype=bool)
        pointed[rng.choice(faults, size=rng.integers(1, faults // 2 + 1), replace=False)] = True
        hit, alarm = rng.uniform(0.85, 0.97), rng.uniform(0.02, 0.10)
        tables[t, 0] = np.where(pointed, hit, alarm)
        tables[t, 0, -1] = rng.uniform(0.1, 0.4)
        tables[t, 1] = 1 - tables[t, 0]
    costs = 2.0 * rng.integers(3, 26, size=tests).astype(np.float64)
    repairs = np.array([*rng.uniform(100, 1200, size=faults), np.inf])
    cures = np.array([*([0.98] * faults), 0.0])
    return Problem(tables, costs, np.tile(costs, (tests, 1)), repairs, cures, 2000.0), shares
