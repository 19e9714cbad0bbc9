"""Compares and merges case documents: what changed field by field, and what two people changed at once."""

from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from kbapp.records.case import Case
from kbapp.records.merge_conflict import Conflict, Sides, contradiction_conflicts, signature_conflicts
from kbapp.records.merge_fields import FieldMerge
from kbapp.records.merge_lines import with_own_ids
from kbapp.records.merge_shape import KEYS, Path, keyed

__all__ = ["Conflict", "Difference", "Merged", "differences", "merge"]


@dataclass(frozen=True, slots=True)
class Difference:
    """One field that differs: dotted path, value before and after (None where it is absent)."""

    path: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True)
class Merged:
    """A merged case, or the conflicts that need a person."""

    case: Case | None
    conflicts: tuple[Conflict, ...] = ()


def differences(before: Case, after: Case) -> tuple[Difference, ...]:
    """Returns every field in which two versions of a case differ.

    A line of the timeline, a retest, an attachment or a code is named by its key (``timeline.e3.outcome``).
    """
    out: list[Difference] = []
    _compare((), before.plain(), after.plain(), out)
    return tuple(out)


def _compare(path: Path, before: Any, after: Any, out: list[Difference]) -> None:
    if before == after:
        return
    if path in KEYS:
        before, after = keyed(path, before), keyed(path, after)
        if before == after:
            out.append(Difference(".".join(path), list(before), list(after)))
            return
    if isinstance(before, dict) and isinstance(after, dict):
        for name in dict.fromkeys([*before, *after]):
            _compare((*path, name), before.get(name), after.get(name), out)
    else:
        out.append(Difference(".".join(path), before, after))


def merge(base: Case, mine: Case, theirs: Case) -> Merged:
    """Returns ``mine`` and ``theirs`` merged field by field over the ``base`` both started from.

    Lines of the timeline, retests, attachments and codes are matched by their key, so that two people adding lines
    never clash (a line of mine gets a new id where theirs took it); symptoms, conditions and links merge as sets.
    A conflict is: the same field, or fields of one statement, changed in two ways; a line one side removed and the
    other changed or refers to; lines moved in two ways; a signature beside a change of what it vouches for.
    """
    others = theirs.plain()
    sides = Sides(base.plain(), with_own_ids(base.plain(), mine.plain(), others), others)
    fields = FieldMerge()
    merged = fields.merge((), sides.base, sides.mine, sides.theirs)
    conflicts = [*fields.conflicts, *signature_conflicts(sides)]
    if conflicts:
        return Merged(None, tuple({conflict.path: conflict for conflict in conflicts}.values()))
    try:
        case = Case.model_validate(merged)
    except ValidationError:  # each side is sound, together they are not: a person has to look at all of it
        return Merged(None, (Conflict("", sides.base, sides.mine, sides.theirs),))
    contradictions = contradiction_conflicts(case, sides)
    return Merged(None, contradictions) if contradictions else Merged(case)
