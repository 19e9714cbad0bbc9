"""How fast the engine is on 60 hypotheses × 80 tests. Run: pytest tests/bench/test_isolation.py."""

from collections.abc import Callable

import numpy as np
import pytest

from kbapp.isolation.advice import advise
from kbapp.isolation.arrays import Floats
from kbapp.isolation.candidates import choices
from kbapp.isolation.economics import Economics, build_problem
from kbapp.isolation.fault_sets import two_fault_posterior
from kbapp.isolation.gain import bits
from kbapp.isolation.posterior import shares
from kbapp.isolation.ranking import rank
from kbapp.isolation.repair_cost import Problem, one_step, two_step
from kbapp.records.section_map import SectionMap
from tests.isolation.examples import look, make_case, make_map, points, ran, section

Benchmark = Callable[..., object]
SECTIONS, TESTS = 59, 80  # with "not on this map" 60 hypotheses


def _large(*, costs: bool) -> SectionMap:
    rng = np.random.default_rng(1)
    more = {"cost": 200.0} if costs else {}
    sections = [section(f"s{n}", float(rng.uniform(1, 9)), **more) for n in range(SECTIONS)]
    tests = [
        points(f"t{n}", *(f"s{m}" for m in rng.choice(SECTIONS, size=8, replace=False)), run_minutes=float(n + 3))
        for n in range(TESTS)
    ]
    return make_map(sections, tests)


LINES = [ran(f"t{n}", "no" if n % 4 else "yes") for n in range(6)]


def _seconds(benchmark: object) -> float:
    return float(benchmark.stats.stats.median)  # type: ignore[attr-defined]


def _problem() -> tuple[Problem, Floats]:
    found = look(_large(costs=True))
    problem = build_problem(found.model, [c.best for c in choices(found.model, found.evidence)], Economics())
    assert problem is not None
    return problem, found.shares


def test_one_step(benchmark: Benchmark) -> None:
    found = look(_large(costs=False), *LINES)
    options = choices(found.model, found.evidence)

    def run() -> float:
        now = shares(found.model, found.evidence.results)
        return max(bits(now, option.best.table) for option in options)

    benchmark(run)
    assert _seconds(benchmark) <= 0.020


def test_one_step_cost(benchmark: Benchmark) -> None:
    problem, now = _problem()
    benchmark(one_step, problem, now[None])
    assert _seconds(benchmark) <= 0.020


def test_two_steps(benchmark: Benchmark) -> None:
    problem, now = _problem()
    benchmark(two_step, problem, now)
    assert _seconds(benchmark) <= 0.500


def test_ranking_with_costs(benchmark: Benchmark) -> None:
    found = look(_large(costs=True), *LINES)
    options = choices(found.model, found.evidence)
    benchmark(rank, found.model, found.shares, options, Economics())
    assert _seconds(benchmark) <= 0.500


def test_two_faults(benchmark: Benchmark) -> None:
    found = look(_large(costs=False), *LINES)
    benchmark(two_fault_posterior, found.model, found.evidence.results)
    assert _seconds(benchmark) <= 0.050


@pytest.mark.parametrize("costs", [False, True])
def test_the_whole_advice(benchmark: Benchmark, costs: bool) -> None:
    told = _large(costs=costs)
    case = make_case(*LINES)
    benchmark(advise, case, told)
    assert _seconds(benchmark) <= (0.600 if costs else 0.200)
