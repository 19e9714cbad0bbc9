"""Merges the plain values of two case documents field by field and collects what clashes."""

from typing import Any

from kbapp.records.merge_conflict import Conflict
from kbapp.records.merge_lines import merged_order
from kbapp.records.merge_shape import GROWING, KEYS, SETS, Path, is_whole, keyed, together

_Object = dict[str, Any]


class FieldMerge:
    """Merges values over a common base; ``conflicts`` collects the paths that need a person."""

    def __init__(self) -> None:
        self.conflicts: list[Conflict] = []

    def merge(self, path: Path, base: Any, mine: Any, theirs: Any) -> Any:
        """Returns the merged value, None where it is absent; where it clashes, mine."""
        if mine == theirs or theirs == base:
            return mine
        if mine == base:
            return theirs
        if path in KEYS:
            return self._lines(path, base, mine, theirs)
        if path in SETS:
            return _merged_set(base or [], mine or [], theirs or [])
        if path in GROWING:
            return self._grown(path, base or [], mine or [], theirs or [])
        if _are_fields(path, base, mine, theirs):
            return self._fields(path, base or {}, mine, theirs)
        return self._clash(path, base, mine, theirs)

    def _clash(self, path: Path, base: Any, mine: Any, theirs: Any) -> Any:
        self.conflicts.append(Conflict(".".join(path), base, mine, theirs))
        return mine

    def _fields(self, path: Path, base: _Object, mine: _Object, theirs: _Object) -> _Object:
        self._statements(path, base, mine, theirs)
        merged = {
            name: self.merge((*path, name), base.get(name), mine.get(name), theirs.get(name))
            for name in dict.fromkeys([*theirs, *mine])
        }
        return {name: value for name, value in merged.items() if value is not None}

    def _statements(self, path: Path, base: _Object, mine: _Object, theirs: _Object) -> None:
        for group in together(path):
            differing = [name for name in group if mine.get(name) != theirs.get(name)]
            ours = [name for name in differing if mine.get(name) != base.get(name)]
            others = [name for name in differing if theirs.get(name) != base.get(name)]
            if ours and others:
                for name in dict.fromkeys([*ours, *others]):
                    self._clash((*path, name), base.get(name), mine.get(name), theirs.get(name))

    def _lines(self, path: Path, base: Any, mine: Any, theirs: Any) -> list[Any]:
        before, ours, others = keyed(path, base), keyed(path, mine), keyed(path, theirs)
        merged = self._fields(path, before, ours, others)
        order = merged_order(list(before), list(ours), list(others))
        if order is None:
            self._clash(path, list(before), list(ours), list(others))
            order = list(merged)
        return [merged[key] for key in order if key in merged]

    def _grown(self, path: Path, base: list[Any], mine: list[Any], theirs: list[Any]) -> Any:
        if mine[: len(base)] != base or theirs[: len(base)] != base:
            return self._clash(path, base, mine, theirs)
        added = theirs[len(base) :]
        return theirs + [item for item in mine[len(base) :] if item not in added]


def _are_fields(path: Path, base: Any, mine: Any, theirs: Any) -> bool:
    if not isinstance(mine, dict) or not isinstance(theirs, dict) or is_whole(path):
        return False
    # a line that became one of another kind has other fields
    return mine.get("kind") == theirs.get("kind") and (not base or mine.get("kind") == base.get("kind"))


def _merged_set(base: list[Any], mine: list[Any], theirs: list[Any]) -> list[Any]:
    removed = [item for item in base if item not in mine or item not in theirs]
    out: list[Any] = []
    for item in [*theirs, *mine]:
        if item not in removed and item not in out:
            out.append(item)
    return out
