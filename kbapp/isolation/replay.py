"""Replays a closed case: what following the advice would have cost, against what was done."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.calibration import Calibration, calibrate
from kbapp.isolation.candidates import choices
from kbapp.isolation.economics import Economics, fitting_cost, section_cost, section_cure
from kbapp.isolation.model import Model, build
from kbapp.isolation.parts import places_of
from kbapp.isolation.picture import picture
from kbapp.isolation.posterior import shares
from kbapp.isolation.ranking import NextTest, rank
from kbapp.isolation.results import Evidence, Result, result_of_part, result_of_test
from kbapp.isolation.states import SUPPORTED_LEAD, SUPPORTED_SHARE
from kbapp.records.case import Case
from kbapp.records.section_map import NOT_ON_MAP, SectionMap
from kbapp.records.timeline import PartEntry, TestEntry

LEAST_BITS: Final = 0.01
"""Without costs, a test that is expected to tell less is not worth running."""


@dataclass(frozen=True, slots=True)
class ReplayStep:
    """One advised step. ``assumed``: the case never ran that test; its likeliest outcome under the truth stands."""

    kind: Literal["test", "repair"]
    name: str
    outcome: str
    assumed: bool
    minutes: float
    cost: float


@dataclass(frozen=True, slots=True)
class Effort:
    """Hands-on minutes, money (with labour) and parts fitted in vain."""

    minutes: float
    cost: float
    parts_in_vain: int


@dataclass(frozen=True, slots=True)
class Replay:
    """The advised steps to the true section, their effort and that of what was done; ``reached``: they got there."""

    case: str
    truth: str
    steps: tuple[ReplayStep, ...]
    advised: Effort
    done: Effort
    reached: bool


def true_section(case: Case, section_map: SectionMap) -> str | None:
    """Returns the section a proved case's cause was found in (``not_on_map`` where it says so), None where unknown."""
    if case.state != "proved" or case.cause is None or not case.cause.separated:
        return None
    name = case.cause.section
    return name if name == NOT_ON_MAP or section_map.section(name) is not None else None


def replay(case: Case, section_map: SectionMap, economics: Economics | None = None) -> Replay | None:
    """Returns the replay of a proved case, None where its cause lies in no section of the map.

    Tests the case ran give the outcome they gave; others give the likeliest one under the true cause. Repairing a
    section stands for fitting its parts; a wrong one counts as a part in vain.
    """
    truth = true_section(case, section_map)
    if truth is None or truth == NOT_ON_MAP:
        return None
    economics = economics or Economics()
    model = build(section_map, case.concern.symptoms)
    steps, reached = _follow(model, _recorded(case, model), truth, economics)
    wrong = sum(step.kind == "repair" for step in steps) - reached
    advised = Effort(sum(step.minutes for step in steps), sum(step.cost for step in steps), wrong)
    return Replay(case.id, truth, tuple(steps), advised, _done(case, model, economics), reached)


def book_calibration(cases: Sequence[Case], maps: Mapping[str, SectionMap]) -> Calibration | None:
    """Returns how the shares before the repair of proved cases came true, None where no case can be judged."""
    predicted: list[float] = []
    came_true: list[bool] = []
    for case in cases:
        section_map = maps.get(case.map.id) if case.map is not None else None
        truth = true_section(case, section_map) if section_map is not None else None
        if section_map is not None and truth is not None:
            view = picture(case, build(section_map, case.concern.symptoms))
            predicted += [float(share) for share in view.shares]
            came_true += [name == truth for name in view.model.hypotheses]
    return calibrate(predicted, came_true) if predicted else None


def _recorded(case: Case, model: Model) -> dict[str, Result]:
    return {result.name: result for result in picture(case, model).evidence.tests}


def _follow(
    model: Model, recorded: Mapping[str, Result], truth: str, economics: Economics
) -> tuple[list[ReplayStep], bool]:
    results: list[Result] = []
    steps: list[ReplayStep] = []
    repaired: set[str] = set()
    while len(repaired) < len(model.hypotheses) - 1:
        found = shares(model, results)
        test = _advised_test(model, results, found, economics)
        if test is not None:
            results.append(_outcome(model, test, recorded, truth))
            assumed = test.way.test.id not in recorded
            minutes = test.way.minutes
            cost = minutes * economics.labour_per_minute
            steps.append(ReplayStep("test", test.way.test.id, results[-1].outcome, assumed, minutes, cost))
            continue
        section = _advised_repair(model, found, repaired, economics)
        steps.append(_repair_step(model, section, economics))
        if section == truth:
            return steps, True
        repaired.add(section)
        results.append(_in_vain(model, section))
    return steps, False


def _advised_test(model: Model, results: list[Result], found: Floats, economics: Economics) -> NextTest | None:
    ran = (model.section_map.test(result.name) for result in results)
    rigs = frozenset(test.rig for test in ran if test is not None and test.rig)
    ranked = rank(model, found, choices(model, Evidence(tuple(results)), rigs=rigs), economics)
    ready = [test for test in ranked.tests if test.choice.ready]
    if not ready:
        return None
    costs = ranked.costs
    if costs.fit_now is not None and costs.test_first is not None:
        return ready[0] if costs.test_first < costs.fit_now else None
    top = np.sort(found)[::-1]
    settled = top[0] >= SUPPORTED_SHARE and top[0] >= SUPPORTED_LEAD * top[1]
    return ready[0] if not settled and ready[0].bits >= LEAST_BITS else None


def _outcome(model: Model, test: NextTest, recorded: Mapping[str, Result], truth: str) -> Result:
    known = recorded.get(test.way.test.id)
    if known is not None:
        return known
    likeliest = int(test.way.table[:, model.index[truth]].argmax())
    return result_of_test(model, test.way.test, test.way.test.outcomes[likeliest], test.way.strength)


def _advised_repair(model: Model, found: Floats, repaired: set[str], economics: Economics) -> str:
    """Returns the section to repair: the best share × cure for its cost, or the largest share without costs."""

    def worth(name: str) -> float:
        section = model.section_map.section(name)
        cost = section_cost(section, economics) if section is not None else None
        share = float(found[model.index[name]])
        return share * section_cure(section) / max(cost, 1.0) if section is not None and cost is not None else share

    costed = all(section_cost(section, economics) is not None for section in model.section_map.sections)
    left = [section.id for section in model.section_map.sections if section.id not in repaired]
    return max(left, key=worth if costed else lambda name: float(found[model.index[name]]))


def _repair_step(model: Model, name: str, economics: Economics) -> ReplayStep:
    section = model.section_map.section(name)
    cost = section_cost(section, economics) if section is not None else None
    labour = [part.labour_minutes for part in section.parts if part.labour_minutes is not None] if section else []
    minutes = sum(labour) / len(labour) if labour else 0.0
    return ReplayStep("repair", name, "", assumed=False, minutes=minutes, cost=cost or 0.0)


def _in_vain(model: Model, name: str) -> Result:
    section = model.section_map.section(name)
    cured = np.zeros(len(model.hypotheses))
    cured[model.index[name]] = section_cure(section) if section is not None else 0.0
    return result_of_part(model, name, cured)


def _done(case: Case, model: Model, economics: Economics) -> Effort:
    minutes = cost = 0.0
    in_vain = 0
    for entry in case.timeline:
        if isinstance(entry, TestEntry) and entry.status == "done":
            test = model.find_test(entry.test)
            usual = test.setup_minutes + test.run_minutes + test.restore_minutes if test is not None else 0.0
            spent = entry.minutes if entry.minutes is not None else usual
            minutes += spent
            cost += spent * economics.labour_per_minute
        elif isinstance(entry, PartEntry) and entry.stage == "fitted" and entry.purpose == "diagnostic":
            minutes += entry.labour_minutes or 0.0
            cost += fitting_cost(entry, places_of(model.section_map, entry), economics) or 0.0
            in_vain += entry.effect in ("unchanged", "worse")
    return Effort(minutes, cost, in_vain)
