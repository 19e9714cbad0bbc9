"""Adds, replaces, moves and takes out lines of a timeline and retests; ids and references stay."""

from kbapp.errors import InputError
from kbapp.records.case import Case, Retest
from kbapp.records.timeline import TimelineEntry


def moved(case: Case, line_id: str, step: int) -> Case:
    """Returns the case with a line ``step`` places further down (negative: up); at an end it stays.

    Raises:
        InputError: ``line_unknown``.
    """
    lines = list(case.timeline)
    place = next((n for n, line in enumerate(lines) if line.id == line_id), None)
    if place is None:
        raise InputError("line_unknown", line=line_id)
    target = min(max(place + step, 0), len(lines) - 1)
    lines.insert(target, lines.pop(place))
    return case.model_copy(update={"timeline": tuple(lines)})


def added(case: Case, line: TimelineEntry | Retest, line_id: str) -> Case:
    """Returns the case with a line at the end, or a retest behind the others, under an id of its own."""
    if isinstance(line, Retest):
        return case.model_copy(update={"retest": (*case.retest, line.model_copy(update={"id": line_id}))})
    return case.model_copy(update={"timeline": (*case.timeline, line.model_copy(update={"id": line_id}))})


def replaced(case: Case, line: TimelineEntry | Retest) -> Case:
    """Returns the case with a line (or retest) in place of the one with its id.

    Raises:
        InputError: ``line_unknown``.
    """
    if all(known.id != line.id for known in (*case.timeline, *case.retest)):
        raise InputError("line_unknown", line=line.id)
    if isinstance(line, Retest):
        retests = tuple(line if known.id == line.id else known for known in case.retest)
        return case.model_copy(update={"retest": retests})
    lines = tuple(line if known.id == line.id else known for known in case.timeline)
    return case.model_copy(update={"timeline": lines})


def without(case: Case, line_id: str) -> Case:
    """Returns the case without a line or retest; earlier revisions keep it."""
    lines = tuple(line for line in case.timeline if line.id != line_id)
    retests = tuple(retest for retest in case.retest if retest.id != line_id)
    return case.model_copy(update={"timeline": lines, "retest": retests})
