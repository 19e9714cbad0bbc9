"""Two people changed the same fields: both versions side by side, and one case made of what was picked."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from kbapp.records.case import Case
from kbapp.records.case_document import check_case
from kbapp.records.fault import Checked
from kbapp.records.merge import Conflict, merge
from kbapp.store.values import StaleSave

Side = Literal["mine", "theirs"]


@dataclass(frozen=True, slots=True)
class Dispute:
    """A save that was refused: the version both started from, both versions, and the fields both changed."""

    base: Case
    mine: Case
    theirs: Case
    head: int
    conflicts: tuple[Conflict, ...]

    @classmethod
    def of(cls, error: StaleSave) -> "Dispute":
        """Returns the dispute a refused save carries."""
        return cls(error.base, error.mine, error.theirs, error.head, error.conflicts)

    def settled(self, picks: Mapping[str, Side]) -> "Checked[Case] | Dispute":
        """Returns the case that follows from a pick for each conflict, to be saved over ``head``.

        What only one side changed is taken in from both. Where the picks contradict each other, the dispute that is
        left comes back; where the whole case is disputed, one version is taken whole.
        """
        if any(not conflict.path for conflict in self.conflicts):
            return Checked(self.mine if picks.get("") == "mine" else self.theirs)
        mine, theirs = self.mine.plain(), self.theirs.plain()
        for conflict in self.conflicts:
            if picks[conflict.path] == "mine":
                _put(theirs, conflict.path, conflict.mine, mine)
            else:
                _put(mine, conflict.path, conflict.theirs, theirs)
        one, other = check_case(mine), check_case(theirs)
        if one.value is None or other.value is None:
            return Checked(faults=(*one.faults, *other.faults))
        merged = merge(self.base, one.value, other.value)
        if merged.case is None:
            return Dispute(self.base, one.value, other.value, self.head, merged.conflicts)
        return Checked(merged.case)


def _put(document: dict[str, Any], path: str, value: Any, other: dict[str, Any]) -> None:
    """Puts ``value`` at a conflict's path; a line of a list is named by its key, a whole list of keys is an order."""
    name, _dot, rest = path.partition(".")
    if isinstance(other.get(name, document.get(name)), list) and not _is_plain_list(name):
        if not rest:
            document[name] = other.get(name, [])
            return
        _put_line(document, name, rest, value)
    elif rest:
        inner = dict(document.get(name) or {})
        _put(inner, rest, value, other.get(name) or {})
        _set(document, name, inner or None)
    else:
        _set(document, name, value)


def _is_plain_list(name: str) -> bool:
    return name not in ("timeline", "retest", "codes", "attachments")


def _set(document: dict[str, Any], name: str, value: Any) -> None:
    if value is None or value == []:
        document.pop(name, None)
    else:
        document[name] = value


def _put_line(document: dict[str, Any], name: str, rest: str, value: Any) -> None:
    lines = list(document.get(name, []))
    line_id, _dot, field = rest.rpartition(".")
    place = _place(lines, name, rest)
    if place is None and line_id and _place(lines, name, line_id) is not None:
        at = _place(lines, name, line_id)
        assert at is not None
        line = dict(lines[at])
        _set(line, field, value)
        lines[at] = line
    elif place is not None:
        lines[place : place + 1] = [value] if value is not None else []
    elif value is not None:
        lines.append(value)
    document[name] = lines


def _place(lines: list[dict[str, Any]], name: str, key: str) -> int | None:
    from kbapp.records.merge_shape import keyed

    return next((n for n, found in enumerate(keyed((name,), lines)) if found == key), None)
