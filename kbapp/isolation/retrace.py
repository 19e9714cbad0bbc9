"""Retraces a closed case line by line: what was known, what was advised, what was done, and what either takes."""

from collections.abc import Iterator
from dataclasses import dataclass

from kbapp.isolation.economics import Economics
from kbapp.isolation.evidence import gather
from kbapp.isolation.following import AdvisedStep, Expectation, expectation, next_step
from kbapp.isolation.model import Model, build
from kbapp.isolation.parts import places_of
from kbapp.isolation.posterior import shares
from kbapp.isolation.repaired import repair_index
from kbapp.isolation.replay import Effort, effort_of, entry_effort, recorded_results
from kbapp.isolation.rigs import standing_rigs
from kbapp.records.case import Case
from kbapp.records.section_map import NOT_ON_MAP, SectionMap
from kbapp.records.timeline import PartEntry, TestEntry, TimelineEntry

CLOSED = ("repaired", "proved", "came_back", "withdrawn")


@dataclass(frozen=True, slots=True, eq=False)
class RetracedLine:
    """One line of the timeline, a test or a part fitted or planned to find the fault.

    ``line``: its number from 1; ``known``: sections with their shares just before it, the largest first; ``advised``:
    the step advised then, None where nothing was left; ``followed``: the line is that step; ``took``: its effort.
    """

    line: int
    entry: TestEntry | PartEntry
    known: tuple[tuple[str, float], ...]
    advised: AdvisedStep | None
    followed: bool
    took: Effort


@dataclass(frozen=True, slots=True, eq=False)
class Retrace:
    """A closed case retraced.

    ``truth``: the section the cause was found in, blank where it lies in none of the map; ``done``: what all lines up
    to the repair took; ``expected``: what following the advice from the start is expected to take, None without a
    truth on the map. ``last``: the shares at the end.
    """

    case: Case
    section_map: SectionMap
    truth: str
    lines: tuple[RetracedLine, ...]
    last: tuple[tuple[str, float], ...]
    done: Effort
    expected: Expectation | None


def retrace(case: Case, section_map: SectionMap, economics: Economics | None = None) -> Retrace | None:
    """Returns the case retraced, None where it is still open."""
    if case.state not in CLOSED:
        return None
    economics = economics or Economics()
    model = build(section_map, case.concern.symptoms)
    truth = _truth(case, section_map)
    end = repair_index(case)
    upto = case.timeline if end is None else case.timeline[: end + 1]
    expected = None
    if truth and truth != NOT_ON_MAP:
        expected = expectation(model, truth, recorded_results(case, model), economics)
    return Retrace(
        case=case,
        section_map=section_map,
        truth=truth,
        lines=tuple(_lines(case, model, upto, economics)),
        last=_known(model, case, len(upto)),
        done=effort_of(upto, model, economics),
        expected=expected,
    )


def _truth(case: Case, section_map: SectionMap) -> str:
    name = case.cause.section if case.cause is not None else ""
    return name if name == NOT_ON_MAP or section_map.section(name) is not None else ""


def _lines(case: Case, model: Model, upto: tuple[TimelineEntry, ...], economics: Economics) -> Iterator[RetracedLine]:
    repaired: frozenset[str] = frozenset()
    for n, entry in enumerate(upto):
        if not isinstance(entry, (TestEntry, PartEntry)) or (
            isinstance(entry, PartEntry) and (entry.purpose != "diagnostic" or entry.stage == "removed")
        ):
            continue
        before = case.model_copy(update={"timeline": case.timeline[:n], "retest": ()})
        evidence = gather(before, model)
        advised = next_step(model, evidence, economics, standing_rigs(before, model), repaired)
        yield RetracedLine(
            line=n + 1,
            entry=entry,
            known=_known(model, before, n),
            advised=advised,
            followed=advised is not None and _is_step(model, entry, advised),
            took=entry_effort(entry, model, economics),
        )
        if isinstance(entry, PartEntry) and entry.stage == "fitted" and entry.effect in ("unchanged", "worse"):
            repaired |= {place.section for place in places_of(model.section_map, entry) if place.share >= 1.0}


def _known(model: Model, case: Case, upto: int) -> tuple[tuple[str, float], ...]:
    found = shares(model, gather(case, model, upto).results)
    pairs = zip(model.hypotheses, map(float, found), strict=True)
    return tuple(sorted(pairs, key=lambda pair: -pair[1]))


def _is_step(model: Model, entry: TestEntry | PartEntry, advised: AdvisedStep) -> bool:
    if isinstance(entry, TestEntry):
        test = model.find_test(entry.test)
        return advised.kind == "test" and test is not None and test.id == advised.name
    sections = {place.section for place in places_of(model.section_map, entry)}
    return advised.kind == "repair" and advised.name in sections
