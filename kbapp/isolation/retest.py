"""The retest beside its baseline: the same test again, place by place, with what differs and what was changed between.

A retest matches when it repeats a test that was done, passed, under no other conditions, and nothing was changed after
it. Fewer repeats are told but do not undo a match. Several changes between baseline and retest cannot be told apart.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import fmean
from typing import Final, Literal

from kbapp.records.case import Case, Retest
from kbapp.records.moment import parse_moment
from kbapp.records.timeline import PartEntry, Reading, ServiceEntry, TestEntry, TimelineEntry

Value = float | str
Differs = Literal["test", "said", "condition", "place", "unit", "repeats"]
Missing = Literal["no_retest", "no_baseline", "not_passed", "other_conditions", "changed_since"]
_TOLD_ONLY: Final = ("repeats",)
_NO_CHANGE: Final = ("seal", "temporary")
"""Parts that are no change of their own: they belong to another part, or come off again."""
_PROVED_NOT_IT: Final = ("unchanged", "worse")


@dataclass(frozen=True, slots=True)
class Place:
    """The repeats at one place before and after, in ``unit``; either may be empty, words stay words."""

    where: str
    unit: str
    before: tuple[Value, ...]
    after: tuple[Value, ...]

    @property
    def means(self) -> tuple[float, float] | None:
        """The means before and after, None where a side has no numbers or words among them."""
        sides = [[value for value in side if not isinstance(value, str)] for side in (self.before, self.after)]
        if not all(sides) or any(isinstance(value, str) for value in (*self.before, *self.after)):
            return None
        return fmean(sides[0]), fmean(sides[1])


@dataclass(frozen=True, slots=True)
class Difference:
    """One way in which the retest was not run as the baseline was; ``before`` and ``after`` are words or blank."""

    kind: Differs
    name: str = ""
    before: str = ""
    after: str = ""


@dataclass(frozen=True, slots=True)
class Change:
    """A part fitted or a service done, at line ``line`` (from 1) of the timeline."""

    line: int
    entry: str
    name: str
    position: str = ""


@dataclass(frozen=True, slots=True)
class RetestComparison:
    """A retest beside its baseline (None where it repeats no test that was done; ``line`` is 0 then)."""

    retest: Retest
    baseline: TestEntry | None
    line: int
    places: tuple[Place, ...]
    differences: tuple[Difference, ...]
    changes: tuple[Change, ...]
    changed_since: tuple[Change, ...]

    @property
    def same_conditions(self) -> bool:
        """Whether test and conditions are those of the baseline."""
        return all(difference.kind in _TOLD_ONLY for difference in self.differences)

    @property
    def separated(self) -> bool:
        """Whether at most one thing was changed between baseline and retest."""
        return len(self.changes) <= 1

    @property
    def missing(self) -> Missing | None:
        """What keeps the retest from proving the repair, None where nothing does."""
        if self.baseline is None:
            return "no_baseline"
        if self.retest.result != "passed":
            return "not_passed"
        if not self.same_conditions:
            return "other_conditions"
        return "changed_since" if self.changed_since else None


def baselines(case: Case) -> tuple[tuple[int, TestEntry], ...]:
    """Returns every test that a retest can repeat, with its line (from 1): done, our own, not superseded."""
    gone = {entry.supersedes for entry in case.timeline if isinstance(entry, TestEntry)}
    return tuple(
        (n, entry)
        for n, entry in enumerate(case.timeline, 1)
        if isinstance(entry, TestEntry) and entry.status == "done" and entry.source == "own" and entry.id not in gone
    )


def proposed_baseline(case: Case) -> str:
    """Returns the test to repeat, by its id: the one that was repeated before, else the last that was done before the
    repair; blank where there is none.

    Tests with readings come before those without: their figures can be laid side by side.
    """
    known = baselines(case)
    again = [found.baseline.id for found in comparisons(case) if found.baseline is not None]
    if again:
        return again[-1]
    changed = [n for n, entry in enumerate(case.timeline, 1) if _change(n, entry) is not None]
    before = [(n, entry) for n, entry in known if not changed or n < changed[-1]] or list(known)
    ranked = sorted(before, key=lambda item: (bool(item[1].readings), item[0]))
    return ranked[-1][1].id if ranked else ""


def compare_retest(case: Case, retest: Retest) -> RetestComparison:
    """Returns a retest of a case (recorded, or about to be) beside its baseline."""
    line, baseline = _baseline(case, retest)
    changes = tuple(_changes(case, line, retest, later=False))
    since = tuple(_changes(case, line, retest, later=True))
    if baseline is None:
        return RetestComparison(retest, None, 0, _places((), retest.readings), (), changes, since)
    return RetestComparison(
        retest, baseline, line, _places(baseline.readings, retest.readings), tuple(_differences(baseline, retest)),
        changes, since,
    )  # fmt: skip


def comparisons(case: Case) -> tuple[RetestComparison, ...]:
    """Returns every retest of a case beside its baseline, in their order."""
    return tuple(compare_retest(case, retest) for retest in case.retest)


def missing_proof(case: Case) -> Missing | None:
    """Returns why no retest proves the repair, None where one does.

    Of several retests of one test the last counts: a repair that passed once and failed since is not proved.
    """
    last: dict[str, RetestComparison] = {}
    for found in comparisons(case):
        last[found.baseline.id if found.baseline is not None else f"retest {found.retest.id}"] = found
    if not last:
        return "no_retest"
    if any(found.retest.result == "failed" for found in last.values()):
        return "not_passed"
    reasons = [found.missing for found in last.values()]
    return None if None in reasons else reasons[-1]


def proof(case: Case) -> RetestComparison | None:
    """Returns the retest that proves the repair, None where none does."""
    if missing_proof(case) is not None:
        return None
    return next((found for found in reversed(comparisons(case)) if found.missing is None), None)


def _baseline(case: Case, retest: Retest) -> tuple[int, TestEntry | None]:
    known = baselines(case)
    for line, entry in known:
        if entry.id == retest.repeats:
            return line, entry
    if retest.repeats is None and retest.test:
        same = [(line, entry) for line, entry in known if entry.test.casefold() == retest.test.casefold()]
        return same[-1] if same else (0, None)
    return 0, None


def _places(before: tuple[Reading, ...], after: tuple[Reading, ...]) -> tuple[Place, ...]:
    names = dict.fromkeys(reading.where for reading in (*before, *after))
    out = []
    for where in names:
        mine = [reading for reading in before if reading.where == where]
        theirs = [reading for reading in after if reading.where == where]
        unit = next((reading.unit for reading in (*mine, *theirs) if reading.unit), "")
        out.append(Place(where, unit, _values(mine), _values(theirs)))
    return tuple(out)


def _values(readings: list[Reading]) -> tuple[Value, ...]:
    return tuple(reading.value for reading in sorted(readings, key=lambda reading: reading.repeat))


def _differences(baseline: TestEntry, retest: Retest) -> Iterator[Difference]:
    if retest.test and retest.test.casefold() != baseline.test.casefold():
        yield Difference("test", before=baseline.test, after=retest.test)
    if retest.same_conditions is False:
        yield Difference("said")
    yield from _conditions(baseline, retest)
    yield from _readings(baseline.readings, retest.readings)


def _conditions(baseline: TestEntry, retest: Retest) -> Iterator[Difference]:
    before = {item.id: item for item in baseline.conditions}
    after = {item.id: item for item in retest.conditions}
    for name in dict.fromkeys((*before, *after)):
        one, other = before.get(name), after.get(name)
        if one is None or other is None or one.met is None or other.met is None:
            continue  # nobody said: the technician's own word on the whole stands
        if one.met != other.met:
            yield Difference("condition", other.text or one.text or name, _met(met=one.met), _met(met=other.met))


def _met(*, met: bool) -> str:
    return "met" if met else "not_met"


def _readings(before: tuple[Reading, ...], after: tuple[Reading, ...]) -> Iterator[Difference]:
    if not before or not after:
        if before:
            yield Difference("repeats", before=str(_repeats(before)), after="0")
        return
    units = {reading.where: reading.unit for reading in before}
    for where in dict.fromkeys(reading.where for reading in before):
        there = [reading for reading in after if reading.where == where]
        if not there:
            yield Difference("place", where)
        elif there[0].unit != units[where]:
            yield Difference("unit", where, units[where], there[0].unit)
    if _repeats(after) < _repeats(before):
        yield Difference("repeats", before=str(_repeats(before)), after=str(_repeats(after)))


def _repeats(readings: tuple[Reading, ...]) -> int:
    return len({reading.repeat for reading in readings})


def _changes(case: Case, line: int, retest: Retest, *, later: bool) -> Iterator[Change]:
    """Yields what was changed from a line on: up to the retest, or (``later``) after it."""
    seen: set[tuple[str, str]] = set()
    for n, entry in enumerate(case.timeline, 1):
        change = _change(n, entry) if n > line else None
        if change is None or _is_later(entry, retest) is not later:
            continue
        pair = isinstance(entry, PartEntry) and entry.purpose == "set"
        name = change.name.casefold(), "" if pair else change.position.casefold()
        if name not in seen:
            seen.add(name)
            yield change


def _change(line: int, entry: TimelineEntry) -> Change | None:
    if isinstance(entry, ServiceEntry):
        return Change(line, entry.id, entry.text)
    if not isinstance(entry, PartEntry) or entry.stage != "fitted" or entry.purpose in _NO_CHANGE:
        return None
    # a part whose own check showed no help is told apart from what came after it
    return None if entry.effect in _PROVED_NOT_IT else Change(line, entry.id, entry.part, entry.position)


def _is_later(entry: TimelineEntry, retest: Retest) -> bool:
    if entry.at is None or retest.at is None:
        return False
    return parse_moment(entry.at) > parse_moment(retest.at)
