"""Which test next: one ranking, by expected cost of repair where the map has costs, else by bits a hands-on minute."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from kbapp.isolation.arrays import Floats, Positions
from kbapp.isolation.candidates import Candidate, Choice
from kbapp.isolation.economics import Economics, build_problem
from kbapp.isolation.gain import OutcomeView, bits, bits_per_minute, outcome_views
from kbapp.isolation.model import Model
from kbapp.isolation.repair_cost import Problem, one_step, repair_first, swap_cost, two_step

RankedBy = Literal["cost", "gain"]
LOOKED_AT: Final = 80
"""How many tests are looked at two steps ahead; the others (by one step) keep their one-step cost."""


@dataclass(frozen=True, slots=True, eq=False)
class NextTest:
    """A test that could be run next. ``expected_cost``: of the whole repair if it is run first, None without costs."""

    choice: Choice
    bits: float
    bits_per_minute: float
    expected_cost: float | None
    outcomes: tuple[OutcomeView, ...]

    @property
    def way(self) -> Candidate:
        """The way to run it now."""
        return self.choice.best


@dataclass(frozen=True, slots=True)
class Costs:
    """Expected costs of the repair: repair a section now, against test first; None where the map has no costs."""

    fit_now: float | None = None
    test_first: float | None = None
    section: str = ""
    test: str = ""
    swap_only: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Ranking:
    """The tests in order, which figure ordered them, and the two costs."""

    tests: tuple[NextTest, ...]
    by: RankedBy
    costs: Costs
    problem: Problem | None


def rank(
    model: Model, shares: Floats, options: Sequence[Choice], economics: Economics, by: RankedBy | None = None
) -> Ranking:
    """Returns the tests still to run: those that can be run now first, each part in the asked order."""
    ready = [option for option in options if option.ready]
    problem = build_problem(model, [option.best for option in ready], economics)
    ahead = {} if problem is None else _costs_by_test(problem, shares, ready)
    tests = [_next_test(shares, option, ahead.get(option.test.id)) for option in options]
    used: RankedBy = "gain" if problem is None or by == "gain" else "cost"
    tests.sort(key=lambda test: _key(test, used))
    return Ranking(tuple(tests), used, _two_costs(model, problem, shares, ahead), problem)


def _next_test(shares: Floats, option: Choice, cost: float | None) -> NextTest:
    way = option.best
    gain = bits(shares, way.table)
    names = tuple(outcome.id for outcome in way.test.outcomes)
    return NextTest(option, gain, bits_per_minute(gain, way.minutes), cost, outcome_views(shares, way.table, names))


def _key(test: NextTest, by: RankedBy) -> tuple[object, ...]:
    """Orders tests: ready first, then by figure (to 9 digits), reversible before destructive, less waiting first."""
    option, way = test.choice, test.way
    figure = test.expected_cost if by == "cost" and test.expected_cost is not None else -test.bits_per_minute
    tier = (not option.ready, bool(way.kit_missing or way.unable), bool(way.blocked_by))
    return (*tier, float(f"{figure:.9g}"), way.test.destructive, way.wait_minutes)


def _costs_by_test(problem: Problem, shares: Floats, ready: Sequence[Choice]) -> dict[str, float]:
    if not ready:
        return {}
    values = one_step(problem, shares[None])[0]
    best = np.argsort(values, kind="stable")[:LOOKED_AT]
    values[best] = two_step(_only(problem, best), shares)
    return {option.test.id: float(values[n]) for n, option in enumerate(ready)}


def _only(problem: Problem, tests: Positions) -> Problem:
    return Problem(
        tables=problem.tables[tests],
        test_costs=problem.test_costs[tests],
        later_costs=problem.later_costs[np.ix_(tests, tests)],
        repair_costs=problem.repair_costs,
        cures=problem.cures,
        escalation=problem.escalation,
    )


def _two_costs(model: Model, problem: Problem | None, shares: Floats, ahead: dict[str, float]) -> Costs:
    if problem is None:
        return Costs()
    fits = {n: repair_first(problem, shares, n) for n in range(len(shares)) if np.isfinite(problem.repair_costs[n])}
    section = min(fits, key=fits.__getitem__)
    test = min(ahead, key=ahead.__getitem__, default="")
    return Costs(
        fit_now=fits[section],
        test_first=ahead.get(test),
        section=model.hypotheses[section],
        test=test,
        swap_only=float(swap_cost(problem, shares)),
    )
