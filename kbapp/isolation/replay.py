"""Replays a closed case: what following the advice would have cost, against what was done."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from kbapp.isolation.calibration import Calibration, calibrate
from kbapp.isolation.economics import Economics, fitting_cost
from kbapp.isolation.following import in_vain, next_step, rigs_of
from kbapp.isolation.model import Model, build
from kbapp.isolation.parts import places_of
from kbapp.isolation.picture import picture
from kbapp.isolation.ranking import NextTest
from kbapp.isolation.results import Evidence, Result, result_of_test
from kbapp.records.case import Case
from kbapp.records.section_map import NOT_ON_MAP, SectionMap
from kbapp.records.timeline import PartEntry, TestEntry, TimelineEntry


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
    steps, reached = _follow(model, recorded_results(case, model), truth, economics)
    wrong = sum(step.kind == "repair" for step in steps) - reached
    advised = Effort(sum(step.minutes for step in steps), sum(step.cost for step in steps), wrong)
    return Replay(case.id, truth, tuple(steps), advised, effort_of(case.timeline, model, economics), reached)


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


def recorded_results(case: Case, model: Model) -> dict[str, Result]:
    """Returns test id → the result the case's tests gave, before its repair."""
    return {result.name: result for result in picture(case, model).evidence.tests}


def _follow(
    model: Model, recorded: Mapping[str, Result], truth: str, economics: Economics
) -> tuple[list[ReplayStep], bool]:
    results: tuple[Result, ...] = ()
    steps: list[ReplayStep] = []
    repaired: frozenset[str] = frozenset()
    while (step := next_step(model, Evidence(results), economics, rigs_of(model, results), repaired)) is not None:
        if step.test is not None:
            results = (*results, _outcome(model, step.test, recorded, truth))
            assumed = step.name not in recorded
            steps.append(ReplayStep("test", step.name, results[-1].outcome, assumed, step.minutes, step.cost))
            continue
        steps.append(ReplayStep("repair", step.name, "", assumed=False, minutes=step.minutes, cost=step.cost))
        if step.name == truth:
            return steps, True
        repaired |= {step.name}
        results = (*results, in_vain(model, step.name))
    return steps, False


def _outcome(model: Model, test: NextTest, recorded: Mapping[str, Result], truth: str) -> Result:
    known = recorded.get(test.way.test.id)
    if known is not None:
        return known
    likeliest = int(test.way.table[:, model.index[truth]].argmax())
    return result_of_test(model, test.way.test, test.way.test.outcomes[likeliest], test.way.strength)


def entry_effort(entry: TimelineEntry, model: Model, economics: Economics) -> Effort:
    """Returns what one line took: a test by its minutes (else the map's), a part fitted to find the fault."""
    if isinstance(entry, TestEntry) and entry.status == "done":
        test = model.find_test(entry.test)
        usual = test.setup_minutes + test.run_minutes + test.restore_minutes if test is not None else 0.0
        spent = entry.minutes if entry.minutes is not None else usual
        return Effort(spent, spent * economics.labour_per_minute, 0)
    if isinstance(entry, PartEntry) and entry.stage == "fitted" and entry.purpose == "diagnostic":
        cost = fitting_cost(entry, places_of(model.section_map, entry), economics) or 0.0
        return Effort(entry.labour_minutes or 0.0, cost, int(entry.effect in ("unchanged", "worse")))
    return Effort(0.0, 0.0, 0)


def effort_of(entries: Iterable[TimelineEntry], model: Model, economics: Economics) -> Effort:
    """Returns what some lines took together."""
    efforts = [entry_effort(entry, model, economics) for entry in entries]
    return Effort(
        sum(one.minutes for one in efforts), sum(one.cost for one in efforts), sum(one.parts_in_vain for one in efforts)
    )
