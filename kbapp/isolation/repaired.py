"""Where the repair stands in a timeline: nothing from there on changes the picture before it."""

from kbapp.records.case import Case
from kbapp.records.moment import is_instant, parse_moment
from kbapp.records.timeline import PartEntry, TimelineEntry


def is_repair(entry: TimelineEntry) -> bool:
    """Returns whether a line is the repair: a part fitted for good, after which the concern was gone."""
    return (
        isinstance(entry, PartEntry)
        and entry.stage == "fitted"
        and entry.effect == "gone"
        and entry.purpose != "temporary"
    )


def repair_index(case: Case) -> int | None:
    """Returns the position of the repair in the timeline, None while there is none.

    Without a part that cured it (a repair can be a cleaned ground), the first line at or after the first passed retest
    stands for it, where both carry a time.
    """
    for n, entry in enumerate(case.timeline):
        if is_repair(entry):
            return n
    passed = [r.at for r in case.retest if r.result == "passed" and r.at is not None and is_instant(r.at)]
    if not passed:
        return None
    first = min(parse_moment(at) for at in passed)
    for n, entry in enumerate(case.timeline):
        if entry.at is not None and is_instant(entry.at) and parse_moment(entry.at) >= first:
            return n
    return None
