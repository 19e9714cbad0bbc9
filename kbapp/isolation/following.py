"""Following the advice: the next step at any moment, and what all of them are expected to take under a known cause."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.candidates import choices
from kbapp.isolation.economics import Economics, section_cost, section_cure
from kbapp.isolation.model import Model
from kbapp.isolation.posterior import shares
from kbapp.isolation.ranking import NextTest, rank
from kbapp.isolation.results import Evidence, Result, result_of_part, result_of_test
from kbapp.isolation.states import SUPPORTED_LEAD, SUPPORTED_SHARE

LEAST_BITS: Final = 0.01
"""Without costs, a test that is expected to tell less is not worth running."""
LEAST_CHANCE: Final = 0.01
"""A course of outcomes that is less likely is not followed."""
MOST_STEPS: Final = 400
"""At most so many steps are looked at; what is left then is told as not followed."""


@dataclass(frozen=True, slots=True, eq=False)
class AdvisedStep:
    """The step advised at one moment: a test (with its ranking) or the repair of a section.

    ``minutes``: hands-on; ``cost``: money with labour, of this step alone.
    """

    kind: Literal["test", "repair"]
    name: str
    minutes: float
    cost: float
    test: NextTest | None = None


@dataclass(frozen=True, slots=True)
class Expectation:
    """What following the advice is expected to take under the true cause, as means over the courses followed.

    ``found``: the chance that the true section is repaired; ``courses``: how many ways the outcomes could fall were
    followed; ``not_followed``: the chance of all others; ``assumed``: tests whose outcome the case does not give.
    """

    minutes: float
    cost: float
    parts_in_vain: float
    found: float
    courses: int
    not_followed: float
    assumed: tuple[str, ...]


def next_step(
    model: Model, evidence: Evidence, economics: Economics, rigs: frozenset[str], repaired: frozenset[str]
) -> AdvisedStep | None:
    """Returns the advised step on some evidence; sections in ``repaired`` are done with. None when nothing is left."""
    found = shares(model, evidence.results)
    test = _advised_test(model, evidence, found, economics, rigs)
    if test is not None:
        minutes = test.way.minutes
        return AdvisedStep("test", test.way.test.id, minutes, minutes * economics.labour_per_minute, test)
    left = [section.id for section in model.section_map.sections if section.id not in repaired]
    return repair_step(model, advised_repair(model, found, left, economics), economics) if left else None


def _advised_test(
    model: Model, evidence: Evidence, found: Floats, economics: Economics, rigs: frozenset[str]
) -> NextTest | None:
    ranked = rank(model, found, choices(model, evidence, rigs=rigs), economics)
    ready = [test for test in ranked.tests if test.choice.ready]
    if not ready:
        return None
    costs = ranked.costs
    if costs.fit_now is not None and costs.test_first is not None:
        return ready[0] if costs.test_first < costs.fit_now else None
    top = np.sort(found)[::-1]
    settled = top[0] >= SUPPORTED_SHARE and top[0] >= SUPPORTED_LEAD * top[1]
    return ready[0] if not settled and ready[0].bits >= LEAST_BITS else None


def advised_repair(model: Model, found: Floats, left: list[str], economics: Economics) -> str:
    """Returns the section to repair: the best share × cure for its cost, or the largest share without costs."""

    def worth(name: str) -> float:
        section = model.section_map.section(name)
        cost = section_cost(section, economics) if section is not None else None
        share = float(found[model.index[name]])
        return share * section_cure(section) / max(cost, 1.0) if section is not None and cost is not None else share

    costed = all(section_cost(section, economics) is not None for section in model.section_map.sections)
    return max(left, key=worth if costed else lambda name: float(found[model.index[name]]))


def repair_step(model: Model, name: str, economics: Economics) -> AdvisedStep:
    """Returns the repair of a section as a step."""
    section = model.section_map.section(name)
    cost = section_cost(section, economics) if section is not None else None
    labour = [part.labour_minutes for part in section.parts if part.labour_minutes is not None] if section else []
    return AdvisedStep("repair", name, sum(labour) / len(labour) if labour else 0.0, cost or 0.0)


def in_vain(model: Model, name: str) -> Result:
    """Returns the evidence of a section repaired in vain."""
    section = model.section_map.section(name)
    cured = np.zeros(len(model.hypotheses))
    cured[model.index[name]] = section_cure(section) if section is not None else 0.0
    return result_of_part(model, name, cured)


def rigs_of(model: Model, results: tuple[Result, ...]) -> frozenset[str]:
    """Returns the rigs that stand once these tests have run."""
    ran = (model.section_map.test(result.name) for result in results if result.kind == "test")
    return frozenset(test.rig for test in ran if test is not None and test.rig)


@dataclass(frozen=True, slots=True)
class _Course:
    """How far one way the outcomes could fall has been followed."""

    chance: float = 1.0
    results: tuple[Result, ...] = ()
    repaired: frozenset[str] = frozenset()
    minutes: float = 0.0
    cost: float = 0.0


@dataclass(slots=True)
class _Sum:
    minutes: float = 0.0
    cost: float = 0.0
    in_vain: float = 0.0
    found: float = 0.0
    chance: float = 0.0
    courses: int = 0

    def add(self, course: _Course, *, found: bool) -> None:
        """Adds a course that has come to its end."""
        self.chance += course.chance
        self.minutes += course.chance * course.minutes
        self.cost += course.chance * course.cost
        self.in_vain += course.chance * (len(course.repaired) - found)
        self.found += course.chance * found
        self.courses += 1


def expectation(
    model: Model, truth: str, recorded: Mapping[str, Result], economics: Economics, start: tuple[Result, ...] = ()
) -> Expectation:
    """Returns what following the advice is expected to take from the evidence ``start`` to the repair of ``truth``.

    Tests in ``recorded`` give the outcome recorded; any other falls as the map says it does under the true cause.
    Repairing the true section cures, a wrong one is a part in vain.
    """
    waiting, total, assumed = [_Course(results=start)], _Sum(), dict[str, None]()
    for _ in range(MOST_STEPS):
        if not waiting:
            break
        course = waiting.pop(max(range(len(waiting)), key=lambda n: waiting[n].chance))
        rigs = rigs_of(model, course.results)
        step = next_step(model, Evidence(course.results), economics, rigs, course.repaired)
        if step is None:
            total.add(course, found=False)
        elif step.kind == "repair":
            after = _repaired(model, course, step)
            if step.name == truth:
                total.add(after, found=True)
            else:
                waiting.append(after)
        else:
            if step.name not in recorded:
                assumed[step.name] = None
            waiting += _tested(model, course, step, truth, recorded)
    chance = total.chance or 1.0
    return Expectation(
        minutes=total.minutes / chance,
        cost=total.cost / chance,
        parts_in_vain=total.in_vain / chance,
        found=total.found / chance,
        courses=total.courses,
        not_followed=max(0.0, 1.0 - total.chance),
        assumed=tuple(assumed),
    )


def _repaired(model: Model, course: _Course, step: AdvisedStep) -> _Course:
    return _Course(
        course.chance,
        (*course.results, in_vain(model, step.name)),
        course.repaired | {step.name},
        course.minutes + step.minutes,
        course.cost + step.cost,
    )


def _tested(
    model: Model, course: _Course, step: AdvisedStep, truth: str, recorded: Mapping[str, Result]
) -> list[_Course]:
    assert step.test is not None
    way = step.test.way
    known = recorded.get(way.test.id)
    if known is not None:
        falls = [(1.0, known)]
    else:
        falls = [
            (float(way.table[n, model.index[truth]]), result_of_test(model, way.test, outcome, way.strength))
            for n, outcome in enumerate(way.test.outcomes)
        ]
    courses = (
        _Course(
            course.chance * chance,
            (*course.results, result),
            course.repaired,
            course.minutes + step.minutes,
            course.cost + step.cost,
        )
        for chance, result in falls
    )
    return [made for made in courses if made.chance >= LEAST_CHANCE]
