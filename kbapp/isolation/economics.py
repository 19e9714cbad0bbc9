"""What repairs and tests cost, from the map's parts and the shop's labour rate."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.candidates import Candidate
from kbapp.isolation.model import Model
from kbapp.isolation.parts import PartPlace, part_shares
from kbapp.isolation.repair_cost import Problem
from kbapp.records.section_map import DEFAULT_CURE, MapPart, MapSection
from kbapp.records.timeline import PartEntry


@dataclass(frozen=True, slots=True)
class Economics:
    """The shop's figures, in its currency: labour a minute, and what it costs to give up (refer the vehicle out)."""

    labour_per_minute: float = 2.0
    escalation: float = 2000.0


def part_cost(part: MapPart, economics: Economics) -> float | None:
    """Returns the money and labour of a part on the map, None where the map gives no cost."""
    if part.cost is None:
        return None
    return part.cost + (part.labour_minutes or 0.0) * economics.labour_per_minute


def section_cost(section: MapSection, economics: Economics) -> float | None:
    """Returns the expected cost of repairing a section: its own, else its costed parts' weighted by their shares."""
    if section.cost is not None:
        return section.cost + (section.labour_minutes or 0.0) * economics.labour_per_minute
    shares = part_shares(section)
    costed = [(shares[part.id], cost) for part in section.parts if (cost := part_cost(part, economics)) is not None]
    weight = sum(share for share, _ in costed)
    return sum(share * cost for share, cost in costed) / weight if weight > 0 else None


def section_cure(section: MapSection) -> float:
    """Returns the chance that repairing a section cures a fault of it: its parts' cures weighted by their shares."""
    shares = part_shares(section)
    cures = [(shares[part.id], DEFAULT_CURE if part.cure is None else part.cure) for part in section.parts]
    return sum(share * cure for share, cure in cures) if cures else DEFAULT_CURE


def fitting_cost(entry: PartEntry, places: Sequence[PartPlace], economics: Economics) -> float | None:
    """Returns what fitting a part costs: as entered, else as the map says, None where neither gives a cost."""
    on_map = next((place.part for place in places if place.part is not None), None)
    money = entry.cost.value if entry.cost is not None else (on_map.cost if on_map is not None else None)
    if money is None:
        return None
    minutes = entry.labour_minutes
    if minutes is None:
        minutes = on_map.labour_minutes if on_map is not None else None
    return money + (minutes or 0.0) * economics.labour_per_minute


def build_problem(model: Model, tests: Sequence[Candidate], economics: Economics) -> Problem | None:
    """Returns the cost problem of the map with these tests, None where a section has no cost."""
    costs = [section_cost(section, economics) for section in model.section_map.sections]
    if any(cost is None for cost in costs):
        return None
    outcomes = max((test.table.shape[0] for test in tests), default=2)
    tables = np.zeros((len(tests), outcomes, len(model.hypotheses)))
    for n, test in enumerate(tests):
        tables[n, : test.table.shape[0]] = test.table
    rate = economics.labour_per_minute
    return Problem(
        tables=tables,
        test_costs=np.array([test.minutes * rate for test in tests], dtype=np.float64),
        later_costs=_later_costs(tests, rate),
        repair_costs=np.array([*costs, np.inf], dtype=np.float64),
        cures=np.array([*(section_cure(section) for section in model.section_map.sections), 0.0]),
        escalation=economics.escalation,
    )


def _later_costs(tests: Sequence[Candidate], rate: float) -> Floats:
    """Returns the cost of each test (columns) right after each other (rows): no second set-up of the same rig."""
    minutes = np.array([test.minutes for test in tests], dtype=np.float64)
    setups = np.array([test.setup_minutes for test in tests], dtype=np.float64)
    rigs = np.array([test.rig for test in tests], dtype=object)
    shared = np.array([[bool(one) and one == other for other in rigs] for one in rigs], dtype=bool)
    return np.asarray((minutes - np.where(shared.reshape(len(tests), len(tests)), setups, 0.0)) * rate)
