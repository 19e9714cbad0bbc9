"""The work of the cases that count: their parts and tests, what isolated, what cured, and when in the timeline."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from kbapp.ledger.basis import Basis
from kbapp.ledger.columns import Flags, Floats, Numbers, Words, renamed
from kbapp.ledger.question import Source
from kbapp.ledger.rows import Jobs, Parts, Tests

PartOutcome = Literal["cured", "unchanged", "unproved"]
CURED, UNCHANGED, UNPROVED = 0, 1, 2
OUTCOMES: Final[tuple[PartOutcome, ...]] = ("cured", "unchanged", "unproved")
NOT_SPLITTING: Final = ("", "baseline")
"""What a test may say it isolates without splitting anything."""
KnownTests = Mapping[str, frozenset[str]]
"""Map id → its tests, by id and name."""
NEVER: Final = np.iinfo(np.int64).max


@dataclass(frozen=True, slots=True, eq=False)
class Fittings:
    """Parts planned or fitted to find a fault; other purposes stay out of every figure.

    ``job``: place among the cases that count (oldest first); ``name``: code of the compared name; ``outcome``: what
    fitting it came to; ``early``: it stands before every isolating test.
    """

    job: Numbers
    vehicle: Numbers
    line: Numbers
    name: Numbers
    names: int
    part: Words
    position: Words
    fitted: Flags
    outcome: Numbers
    own: Flags
    early: Flags
    cost: Floats
    currency: Words
    minutes: Floats
    at: Words

    @property
    def order(self) -> Numbers:
        """What came first: the older case, then the earlier line."""
        return np.asarray(self.job * (1 + (self.line.max() if len(self.line) else 0)) + self.line, dtype=np.int64)


@dataclass(frozen=True, slots=True, eq=False)
class Trials:
    """Tests run; ``isolates``: gave a result and split something; ``open``: came out unclear or could not be run."""

    job: Numbers
    vehicle: Numbers
    line: Numbers
    test: Words
    isolates: Flags
    open: Flags
    own: Flags
    minutes: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """Fittings and trials of the cases that count.

    ``isolated_at``: a case's last isolating test before its cure, the place where the fault was isolated; -1 without.
    """

    basis: Basis
    fittings: Fittings
    trials: Trials
    isolated_at: Numbers

    @property
    def vehicle(self) -> Numbers:
        """The vehicle of each case that counts."""
        return np.asarray(self.basis.vehicle[self.basis.counted], dtype=np.int64)


def is_isolating(jobs: Jobs, job: Numbers, tests: Tests, known: KnownTests) -> Flags:
    """Returns which tests gave a result and split something: they say what, or the map of their case knows them."""
    gave = tests.status.among("done") & ~tests.strength.among("none") & tests.outcome.where(lambda o: bool(o.strip()))
    says = ~tests.isolates.called(*NOT_SPLITTING)
    on_map = np.zeros(len(says), dtype=np.bool_)
    maps = jobs.map_id.codes[job]
    for code, map_id in enumerate(jobs.map_id.words):
        names = known.get(map_id)
        if names:
            on_map |= (maps == code) & tests.test.called(*names)
    return np.asarray(gave & (says | on_map), dtype=np.bool_)


def places(keys: Numbers, revisions: Numbers) -> Numbers:
    """Returns where each of ``revisions`` stands in ``keys``, -1 where it does not."""
    order = np.argsort(keys)
    found = np.searchsorted(keys, revisions, sorter=order)
    found[found == len(keys)] = 0
    at = order[found] if len(keys) else np.full(len(revisions), -1)
    return np.where(keys[at] == revisions, at, -1) if len(keys) else at


def work(basis: Basis, parts: Parts, tests: Tests, known: KnownTests, source: Source = "") -> Work:
    """Returns the work of the cases that count; ``source`` says whose parts are asked for."""
    jobs, counted = basis.jobs, basis.counted
    trials = _trials(basis, tests, known)
    job = places(jobs.revision[counted], parts.revision)
    mine = (job >= 0) & parts.purpose.among("diagnostic") & parts.stage.among("planned", "fitted")
    names: dict[str, int] = {}
    code = renamed(parts.part, names)
    outcome = _outcomes(basis, parts, np.where(job >= 0, job, 0), code, names)
    cures = mine & parts.stage.among("fitted") & (outcome == CURED)
    cured_at = np.full(len(counted), NEVER, dtype=np.int64)
    np.minimum.at(cured_at, job[cures], parts.line[cures])
    isolated_at = np.full(len(counted), -1, dtype=np.int64)
    before = trials.isolates & (trials.line < cured_at[trials.job])
    np.maximum.at(isolated_at, trials.job[before], trials.line[before])
    if source:
        mine &= parts.source.among(source)
    rows = np.flatnonzero(mine)
    fittings = _fittings(basis, parts, rows, job[rows], code[rows], len(names), outcome[rows], _first(trials, counted))
    return Work(basis, fittings, trials, isolated_at)


def _first(trials: Trials, counted: Numbers) -> Numbers:
    first = np.full(len(counted), NEVER, dtype=np.int64)
    np.minimum.at(first, trials.job[trials.isolates], trials.line[trials.isolates])
    return first


def _trials(basis: Basis, tests: Tests, known: KnownTests) -> Trials:
    jobs = basis.jobs
    job = places(jobs.revision[basis.counted], tests.revision)
    rows = np.flatnonzero(job >= 0)
    isolates = is_isolating(jobs, basis.counted[job], tests, known) if len(basis.counted) else job >= 0
    return Trials(
        job=job[rows],
        vehicle=basis.vehicle[basis.counted[job[rows]]],
        line=tests.line[rows],
        test=tests.test.take(rows),
        isolates=isolates[rows],
        open=tests.status.among("unclear", "unable")[rows],
        own=tests.source.among("own")[rows],
        minutes=tests.minutes[rows],
    )


def _outcomes(basis: Basis, parts: Parts, job: Numbers, code: Numbers, names: dict[str, int]) -> Numbers:
    """Returns what each fitting came to.

    Cured: the concern was gone after it, or nobody noted that and the cause names this part (and no other position).
    """
    if not len(basis.counted):
        return np.full(len(code), UNPROVED, dtype=np.int64)
    jobs, case = basis.jobs, basis.counted[job]
    named = jobs.cause_part.where(bool)[case] & (code == renamed(jobs.cause_part, names)[case])
    spots: dict[str, int] = {}
    here, there = renamed(parts.position, spots), renamed(jobs.cause_position, spots)[case]
    blank = spots.setdefault("", len(spots))
    elsewhere = (here != there) & (here != blank) & (there != blank)
    noted = parts.effect.among("unchanged", "worse")
    cured = parts.effect.among("gone") | (named & ~elsewhere & ~noted)
    return np.where(cured, CURED, np.where(noted, UNCHANGED, UNPROVED)).astype(np.int64)


def _fittings(
    basis: Basis, parts: Parts, rows: Numbers, job: Numbers, code: Numbers, names: int, outcome: Numbers, first: Numbers
) -> Fittings:
    line = parts.line[rows]
    return Fittings(
        job=job,
        vehicle=basis.vehicle[basis.counted[job]],
        line=line,
        name=code,
        names=names,
        part=parts.part.take(rows),
        position=parts.position.take(rows),
        fitted=parts.stage.among("fitted")[rows],
        outcome=outcome,
        own=parts.source.among("own")[rows],
        early=line < first[job],
        cost=parts.cost[rows],
        currency=parts.currency.take(rows),
        minutes=parts.labour_minutes[rows],
        at=parts.at.take(rows),
    )
