"""What the swap guard said of parts, as it was stamped then, and what came of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from kbapp.isolation.intervals import Interval, wilson
from kbapp.ledger.columns import same_name
from kbapp.ledger.rows import GuardRow
from kbapp.ledger.work import OUTCOMES, PartOutcome, Work

QUIET = ""
"""Stands for parts that were judged and nothing was said of."""
Place = tuple[int, str, str]
"""A part in its position on one vehicle."""


@dataclass(frozen=True, slots=True)
class GuardLine:
    """One rule (blank: nothing was said). Counts are parts, each once a vehicle.

    ``not_fitted``: the part was left out after all; ``cured``: out of those fitted and proved one way or the other;
    ``unproved``: fitted, and nobody noted what changed; ``overridden``: fitted against the guard with a reason.
    """

    rule: str
    weight: str
    said: int
    not_fitted: int
    cured: Interval
    unproved: int
    overridden: int


@dataclass(slots=True)
class _Tally:
    weight: str
    places: set[Place] = field(default_factory=set)
    overridden: set[Place] = field(default_factory=set)


def guard_lines(done: Work, stamps: Sequence[GuardRow]) -> tuple[GuardLine, ...]:
    """Returns every rule that spoke, the most frequent first, and last the parts nothing was said of."""
    jobs = done.basis.jobs
    judged = {stamp.case_id for stamp in stamps}
    counted = done.basis.counted.tolist() if judged else ()
    vehicles = {jobs.id[place]: int(done.basis.vehicle[place]) for place in counted if jobs.id[place] in judged}
    tallies: dict[str, _Tally] = {}
    spoken: set[Place] = set()
    quiet: set[Place] = set()
    for stamp in stamps:
        if stamp.case_id not in vehicles:
            continue
        place = (vehicles[stamp.case_id], same_name(stamp.part), stamp.position)
        (spoken if stamp.rules else quiet).add(place)
        for rule, weight in stamp.rules:
            tally = tallies.setdefault(rule, _Tally(weight))
            tally.places.add(place)
            if stamp.overridden:
                tally.overridden.add(place)
    if quiet - spoken:
        tallies[QUIET] = _Tally("", quiet - spoken)
    outcomes = _outcomes(done, spoken | quiet)
    lines = (_line(rule, tally, outcomes) for rule, tally in tallies.items())
    return tuple(sorted(lines, key=lambda line: (line.rule == QUIET, -line.said, line.rule)))


def _outcomes(done: Work, places: set[Place]) -> Mapping[Place, PartOutcome]:
    """Returns what the last fitting of each part in its place came to; parts never fitted are missing."""
    fittings = done.fittings
    wanted = np.array(sorted({vehicle for vehicle, _, _ in places}), dtype=np.int64)
    rows = np.flatnonzero(fittings.fitted & np.isin(fittings.vehicle, wanted))
    out: dict[Place, PartOutcome] = {}
    for row in rows[np.argsort(fittings.order[rows], kind="stable")].tolist():
        place = (int(fittings.vehicle[row]), same_name(fittings.part.at(row)), fittings.position.at(row))
        out[place] = OUTCOMES[int(fittings.outcome[row])]
    return out


def _line(rule: str, tally: _Tally, outcomes: Mapping[Place, PartOutcome]) -> GuardLine:
    came = [outcomes.get(place) for place in tally.places]
    cured = came.count("cured")
    return GuardLine(
        rule=rule,
        weight=tally.weight,
        said=len(came),
        not_fitted=came.count(None),
        cured=wilson(cured, cured + came.count("unchanged")),
        unproved=came.count("unproved"),
        overridden=len(tally.overridden),
    )
