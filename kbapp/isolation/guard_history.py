"""The guard's rules that read what was fitted before: repeat, unchanged, no retest. They need no map."""

from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Final

from kbapp.isolation.guard_warning import GuardWarning, Scene
from kbapp.isolation.part_record import same_concern
from kbapp.isolation.parts import same_part
from kbapp.records.case import Case
from kbapp.records.moment import parse_moment
from kbapp.records.timeline import PartEntry, TestEntry, TimelineEntry

REPEAT_WITHIN: Final = timedelta(days=366)
REPEAT_WITHIN_KM: Final = 20_000.0
_KM_PER_MILE: Final = 1.609344


def repeat(scene: Scene) -> Iterator[GuardWarning]:
    """Yields when the same part went into the same place for this concern within 12 months or 20,000 km.

    Silent where the earlier part was itself found faulty on its removal. Within one case an undated part counts as
    recent.
    """
    earlier = list(_same_parts(scene, scene.case.timeline[: scene.index]))
    if earlier:
        before = earlier[-1]
        recent = _within_time(before.at, scene.entry.at) is not False
        if recent and not _found_faulty(scene, before):
            yield GuardWarning("repeat", earlier=before.id, earlier_at=before.at or "")
        return
    for other in scene.history:
        found = list(_same_parts(scene, other.timeline)) if same_concern(scene.case, other) else []
        if found and other.id != scene.case.id and _recent_case(scene, found[-1], other):
            name = other.number or other.id
            yield GuardWarning("repeat", earlier=name, earlier_at=found[-1].at or other.opened or "")
            return


def unchanged(scene: Scene) -> Iterator[GuardWarning]:
    """Yields when the last diagnostic part left the concern same or worse and no informative test followed."""
    last = scene.last_part()
    if last is None or last[1].effect not in ("unchanged", "worse"):
        return
    if not any(_is_informative(scene, n) for n in range(last[0] + 1, scene.index)):
        yield GuardWarning("unchanged", earlier=last[1].id, earlier_at=last[1].at or "")


def without_retest(scene: Scene) -> Iterator[GuardWarning]:
    """Yields when nobody wrote down what the last diagnostic part changed, and no test was run again since."""
    last = scene.last_part()
    if last is None or last[1].effect not in (None, "not_checked"):
        return
    before = {e.test.casefold() for e in scene.case.timeline[: last[0]] if isinstance(e, TestEntry)}
    for entry in scene.case.timeline[last[0] + 1 : scene.index]:
        again = isinstance(entry, TestEntry) and (entry.repeat_of or entry.test.casefold() in before)
        if again and isinstance(entry, TestEntry) and entry.status == "done":
            return
    yield GuardWarning("no_retest", earlier=last[1].id, earlier_at=last[1].at or "")


def _same_parts(scene: Scene, timeline: Sequence[TimelineEntry]) -> Iterator[PartEntry]:
    for entry in timeline:
        if (
            isinstance(entry, PartEntry)
            and entry.stage == "fitted"
            and entry.purpose != "temporary"
            and entry.position.casefold() == scene.entry.position.casefold()
            and same_part(entry.part, scene.entry.part, scene.section_map)
        ):
            yield entry


def _found_faulty(scene: Scene, before: PartEntry) -> bool:
    """Returns whether the earlier part was taken out again and something was found on it."""
    place = scene.case.timeline.index(before)
    return any(
        isinstance(entry, PartEntry)
        and entry.stage == "removed"
        and bool(entry.found.strip())
        and same_part(entry.part, before.part, scene.section_map)
        and entry.position.casefold() == before.position.casefold()
        for entry in scene.case.timeline[place + 1 : scene.index]
    )


def _within_time(earlier: str | None, later: str | None) -> bool | None:
    """Returns whether two moments lie within 12 months, None where one is unknown."""
    if not earlier or not later:
        return None
    return abs(parse_moment(later) - parse_moment(earlier)) <= REPEAT_WITHIN


def _recent_case(scene: Scene, before: PartEntry, other: Case) -> bool:
    """Returns whether another visit lies before this line, by at most 12 months or 20,000 km."""
    then, now = before.at or other.opened, scene.entry.at or scene.case.opened
    if then and now and parse_moment(then) > parse_moment(now):
        return False
    here, there = _kilometres(scene.case), _kilometres(other)
    by_distance = here is not None and there is not None and 0 <= here - there <= REPEAT_WITHIN_KM
    return by_distance or _within_time(then, now) is True


def _kilometres(case: Case) -> float | None:
    if case.vehicle is None or case.vehicle.odometer is None:
        return None
    odometer = case.vehicle.odometer
    return odometer.value * (_KM_PER_MILE if odometer.unit == "mi" else 1.0)


def _is_informative(scene: Scene, n: int) -> bool:
    """Returns whether a line is a test that told something: it is evidence, or without a map, has an outcome."""
    entry = scene.case.timeline[n]
    if not isinstance(entry, TestEntry) or entry.status != "done":
        return False
    if scene.view is None:
        return bool(entry.outcome.strip())
    return any(entry.id in result.entries for result in scene.view.evidence.tests)
