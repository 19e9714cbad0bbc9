"""Puts lines of a timeline in another place; ids and references stay, only the order changes."""

from kbapp.errors import InputError
from kbapp.records.case import Case


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
