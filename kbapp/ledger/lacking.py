"""What cases and maps lack: the work that would make the figures better."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from kbapp.ledger.basis import Basis
from kbapp.ledger.columns import Flags
from kbapp.ledger.rows import Tests
from kbapp.ledger.work import KnownTests, is_isolating, places

Lack = Literal["retest", "cause_section", "isolating_test"]
LACKS: Final[tuple[Lack, ...]] = ("retest", "cause_section", "isolating_test")
_DONE: Final = ("repaired", "proved", "came_back")


@dataclass(frozen=True, slots=True)
class LackLine:
    """Finished cases that lack something, by number (id without one), out of ``of``."""

    lack: Lack
    cases: tuple[str, ...]
    of: int


@dataclass(frozen=True, slots=True)
class MapLine:
    """How often a map was used in cases asked for, and in how many of those that count."""

    map_id: str
    cases: int
    proved: int


def lack_lines(found: Basis, tests: Tests, known: KnownTests) -> tuple[LackLine, ...]:
    """Returns what the finished cases asked for lack: a retest with a result, the cause's section, an isolating test.

    A case counts as finished once it is repaired; withdrawn and open ones lack nothing yet.
    """
    jobs = found.jobs
    done: Flags = found.asked & jobs.state.among(*_DONE)
    job = places(jobs.revision, tests.revision)
    rows = np.flatnonzero(job >= 0)
    isolated = np.zeros(len(jobs), dtype=np.bool_)
    if len(rows):
        isolated[job[rows][is_isolating(jobs, job, tests, known)[rows]]] = True
    lacking: dict[Lack, Flags] = {
        "retest": jobs.retest_result.among(""),
        "cause_section": jobs.cause_section.among(""),
        "isolating_test": ~isolated,
    }
    return tuple(
        LackLine(lack, tuple(sorted(map(jobs.name, np.flatnonzero(done & lacking[lack]).tolist()))), int(done.sum()))
        for lack in LACKS
    )


def map_lines(found: Basis, maps: Sequence[str]) -> tuple[MapLine, ...]:
    """Returns every map at hand or named by a case, the most used first; those never used stand last."""
    ids = found.jobs.map_id
    used = Counter(ids.words[code] for code in ids.codes[found.asked].tolist())
    proved = Counter(ids.words[code] for code in ids.codes[found.counted].tolist())
    names = {*maps, *used} - {""}
    lines = (MapLine(name, used[name], proved[name]) for name in names)
    return tuple(sorted(lines, key=lambda line: (-line.cases, line.map_id)))
