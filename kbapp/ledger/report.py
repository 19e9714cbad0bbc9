"""The ledger: every question answered over the same cases."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from kbapp.isolation.intervals import Interval
from kbapp.ledger.basis import LeftOut, basis
from kbapp.ledger.comebacks import Comebacks, comebacks
from kbapp.ledger.effort import EffortToIsolation, effort_to_isolation
from kbapp.ledger.figures import Amounts
from kbapp.ledger.guard_said import GuardLine, guard_lines
from kbapp.ledger.lacking import LackLine, MapLine, lack_lines, map_lines
from kbapp.ledger.parts import PartLine, in_vain, part_lines
from kbapp.ledger.question import LedgerQuestion
from kbapp.ledger.rows import GuardRow, Jobs, Links, Parts, Symptoms, Tests
from kbapp.ledger.splits import SplitLine, split_lines
from kbapp.ledger.swaps_first import MonthLine, Whose, all_time, month_lines
from kbapp.ledger.work import KnownTests, work


@dataclass(frozen=True, slots=True, eq=False)
class BookRows:
    """What is read of a book."""

    jobs: Jobs
    symptoms: Symptoms
    links: Links
    parts: Parts
    tests: Tests
    stamps: tuple[GuardRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What the cases do not say: the shop's currency, the day, the maps at hand and the tests of those in use."""

    currency: str
    today: str
    maps: tuple[str, ...] = ()
    tests: KnownTests = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Ledger:
    """The answers. ``asked``: cases the question is about; ``counted``: those behind the figures, on ``vehicles``."""

    question: LedgerQuestion
    today: str
    asked: int
    counted: int
    vehicles: int
    left_out: Mapping[LeftOut, int]
    parts: tuple[PartLine, ...]
    in_vain: Amounts
    months: tuple[MonthLine, ...]
    swaps_first: Mapping[Whose, Interval]
    effort: EffortToIsolation
    splits: tuple[SplitLine, ...]
    comebacks: Comebacks
    guard: tuple[GuardLine, ...]
    lacks: tuple[LackLine, ...]
    maps: tuple[MapLine, ...]


def _go_on() -> None:
    return None


def ledger(rows: BookRows, question: LedgerQuestion, around: Surroundings, step: Callable[[], None] = _go_on) -> Ledger:
    """Returns the ledger; ``step`` is called between its questions and may raise to stop."""
    found = basis(rows.jobs, rows.symptoms, rows.links, question)
    step()
    done = work(found, rows.parts, rows.tests, around.tests, question.source)
    step()
    parts = part_lines(done.fittings)
    step()
    return Ledger(
        question=question,
        today=around.today,
        asked=int(found.asked.sum()),
        counted=len(found.counted),
        vehicles=found.vehicles,
        left_out=found.left_out,
        parts=parts,
        in_vain=in_vain(parts),
        months=month_lines(done),
        swaps_first=all_time(done),
        effort=effort_to_isolation(done, around.currency),
        splits=split_lines(done),
        comebacks=comebacks(found, rows.symptoms, around.today),
        guard=guard_lines(done, rows.stamps),
        lacks=lack_lines(found, rows.tests, around.tests),
        maps=map_lines(found, around.maps),
    )
