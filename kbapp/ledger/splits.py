"""Tests that split best in practice: how often a test was the one that isolated the fault."""

from dataclasses import dataclass

import numpy as np

from kbapp.isolation.intervals import Interval, wilson
from kbapp.ledger.columns import Numbers, any_by, commonest, renamed, same_name
from kbapp.ledger.figures import enough
from kbapp.ledger.work import Work


@dataclass(frozen=True, slots=True)
class SplitLine:
    """One test (``map_id`` blank for free words). Counts are vehicles.

    ``decided``: it was the last isolating test before the cure, out of the vehicles in which it split;
    ``inconclusive``: vehicles in which it only came out unclear or could not be run; ``minutes``: median of its runs.
    """

    test: str
    map_id: str
    decided: Interval
    inconclusive: int
    minutes: float | None


def split_lines(done: Work) -> tuple[SplitLine, ...]:
    """Returns every test that split something: those with enough vehicles first, by how often they decided."""
    trials, jobs = done.trials, done.basis.jobs
    names: dict[str, int] = {}
    maps = jobs.map_id.codes[done.basis.counted[trials.job]]
    kind = maps * max(1, len(trials.test.words)) + renamed(trials.test, names)
    kinds, kind = np.unique(kind, return_inverse=True)
    cases = 1 + (int(trials.vehicle.max()) if len(trials.vehicle) else 0)
    unit = kind * cases + trials.vehicle
    decides = trials.isolates & (trials.line == done.isolated_at[trials.job])
    split, decided = any_by(unit[trials.isolates], decides[trials.isolates])
    unclear = np.setdiff1d(unit[trials.open], split)
    of, won = (np.bincount(keys // cases, minlength=len(kinds)) for keys in (split, split[decided]))
    still = np.bincount(unclear // cases, minlength=len(kinds))
    spelled = commonest(trials.test, kind, len(kinds))
    minutes = _medians(done, kind)
    lines = [
        SplitLine(
            test=spelled[n],
            map_id=jobs.map_id.words[int(kinds[n]) // max(1, len(trials.test.words))],
            decided=wilson(int(won[n]), int(of[n])),
            inconclusive=int(still[n]),
            minutes=minutes.get(n),
        )
        for n in np.flatnonzero(of).tolist()
    ]
    return tuple(sorted(lines, key=_order))


def _medians(done: Work, kind: Numbers) -> dict[int, float]:
    """Returns the median minutes of each kind of test, over the runs that split."""
    trials = done.trials
    timed = np.flatnonzero(trials.isolates & ~np.isnan(trials.minutes))
    timed = timed[np.argsort(kind[timed], kind="stable")]
    kinds, starts = np.unique(kind[timed], return_index=True)
    groups = np.split(trials.minutes[timed], starts[1:]) if len(kinds) else []
    return {int(key): float(np.median(group)) for key, group in zip(kinds, groups, strict=True)}


def _order(line: SplitLine) -> tuple[object, ...]:
    if enough(line.decided):
        return False, -line.decided.successes / line.decided.of, -line.decided.of, same_name(line.test), line.map_id
    return True, 0.0, 0, same_name(line.test), line.map_id
