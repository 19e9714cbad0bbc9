"""Compares and merges case documents: what changed field by field, and what two people changed at once."""

from dataclasses import dataclass
from typing import Any

from kbapp.records.case import Case

_KEYS = {"timeline": "id", "retest": "id", "attachments": "sha256"}
_SETS = frozenset({"codes", "links", "symptoms"})
_MISSING: Any = None


@dataclass(frozen=True, slots=True)
class Difference:
    """One field that differs: dotted path, value before and after (None where it is absent)."""

    path: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True)
class Conflict:
    """One field that two saves changed differently from the revision both started at."""

    path: str
    base: Any
    mine: Any
    theirs: Any


@dataclass(frozen=True, slots=True)
class Merged:
    """A merged case, or the conflicts that need a person."""

    case: Case | None
    conflicts: tuple[Conflict, ...] = ()


def differences(before: Case, after: Case) -> tuple[Difference, ...]:
    """Returns every field in which two versions of a case differ."""
    out: list[Difference] = []
    _compare("", before.plain(), after.plain(), out)
    return tuple(out)


def _keyed(path: str, value: list[Any]) -> dict[str, Any]:
    key = _KEYS[path.rsplit(".", 1)[-1]]
    return {str(item[key]): item for item in value}


def _is_keyed(path: str, *values: Any) -> bool:
    return path.rsplit(".", 1)[-1] in _KEYS and all(isinstance(v, list) or v is None for v in values)


def _compare(path: str, before: Any, after: Any, out: list[Difference]) -> None:
    if before == after:
        return
    if _is_keyed(path, before, after):
        before, after = _keyed(path, before or []), _keyed(path, after or [])
        if before == after:
            out.append(Difference(path, list(before), list(after)))
            return
    if isinstance(before, dict) and isinstance(after, dict):
        for name in dict.fromkeys([*before, *after]):
            _compare(f"{path}.{name}" if path else name, before.get(name), after.get(name), out)
    else:
        out.append(Difference(path, before, after))


def merge(base: Case, mine: Case, theirs: Case) -> Merged:
    """Returns ``mine`` and ``theirs`` merged field by field over the ``base`` both started from.

    Lines of the timeline, retests and attachments are matched by id, so that two people adding lines never clash;
    codes, symptoms and links merge as sets. Only the same field changed in two ways is a conflict.
    """
    conflicts: list[Conflict] = []
    merged = _merge("", base.plain(), mine.plain(), theirs.plain(), conflicts)
    if conflicts:
        return Merged(None, tuple(conflicts))
    return Merged(Case.model_validate(merged))


def _merge(path: str, base: Any, mine: Any, theirs: Any, conflicts: list[Conflict]) -> Any:
    if mine == theirs or theirs == base:
        return mine
    if mine == base:
        return theirs
    if _is_keyed(path, base, mine, theirs):
        merged = _merge_dicts(
            path, _keyed(path, base or []), _keyed(path, mine or []), _keyed(path, theirs or []), conflicts
        )
        return list(merged.values())
    if path.rsplit(".", 1)[-1] in _SETS:
        return _merge_sets(base or [], mine or [], theirs or [])
    if isinstance(mine, dict) and isinstance(theirs, dict):
        return _merge_dicts(path, base if isinstance(base, dict) else {}, mine, theirs, conflicts)
    conflicts.append(Conflict(path, base, mine, theirs))
    return mine


def _merge_dicts(
    path: str, base: dict[str, Any], mine: dict[str, Any], theirs: dict[str, Any], conflicts: list[Conflict]
) -> dict[str, Any]:
    out = {}
    for name in dict.fromkeys([*theirs, *mine]):
        where = f"{path}.{name}" if path else name
        value = _merge(where, base.get(name), mine.get(name), theirs.get(name), conflicts)
        if value is not _MISSING:
            out[name] = value
    return out


def _merge_sets(base: list[Any], mine: list[Any], theirs: list[Any]) -> list[Any]:
    removed = [item for item in base if item not in mine or item not in theirs]
    out: list[Any] = []
    for item in [*theirs, *mine]:
        if item not in removed and item not in out:
            out.append(item)
    return out
