"""Keeps two people's lines apart when a case is merged: ids given twice, and the order lines stand in."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

_REFERENCES = {"timeline": ("repeat_of", "supersedes"), "retest": ("repeats",), "attachments": ("entry",)}


def with_own_ids(base: Mapping[str, Any], mine: Mapping[str, Any], theirs: Mapping[str, Any]) -> dict[str, Any]:
    """Returns ``mine`` with new ids for lines whose id ``theirs`` gave to another new line.

    Two added lines of one id are the same line if they are of one kind, moment and author; everything in ``mine``
    that names a renamed line follows.
    """
    known, added, others = _lines(base), _lines(mine), _lines(theirs)
    clashing = [
        name for name in added if name not in known and name in others and _label(added[name]) != _label(others[name])
    ]
    taken = {*known, *added, *others}
    names: dict[str, str] = {}
    for name in clashing:
        names[name] = _free_id(name, taken)
        taken.add(names[name])
    return _renamed(mine, names) if names else dict(mine)


def _lines(document: Mapping[str, Any]) -> dict[str, tuple[str, dict[str, Any]]]:
    return {line["id"]: (field, line) for field in ("timeline", "retest") for line in document.get(field, ())}


def _label(placed: tuple[str, dict[str, Any]]) -> tuple[Any, ...]:
    field, line = placed
    return (field, line.get("kind"), line.get("at"), line.get("by"))


def _free_id(name: str, taken: Iterable[str]) -> str:
    stem, number = re.fullmatch(r"(.*?)([0-9]{0,9})", name, re.DOTALL).groups()  # type: ignore[union-attr]
    n = int(number or 1)
    while (free := f"{stem[:100]}{n}") in taken:
        n += 1
    return free


def _renamed(document: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    out = dict(document)
    for field, fields in _REFERENCES.items():
        if field in out:
            out[field] = [_renamed_line(line, ("id", *fields), names) for line in out[field]]
    return out


def _renamed_line(line: dict[str, Any], fields: tuple[str, ...], names: Mapping[str, str]) -> dict[str, Any]:
    out = {key: names.get(value, value) if key in fields else value for key, value in line.items()}
    if out.get("guard", {}).get("evidence"):
        out["guard"] = {**out["guard"], "evidence": [names.get(name, name) for name in out["guard"]["evidence"]]}
    return out


def merged_order(base: Sequence[str], mine: Sequence[str], theirs: Sequence[str]) -> list[str] | None:
    """Returns the keys of both sides in one order, or None where both moved lines in different ways.

    A line only one side has stands behind the line it was added behind, after what the other side added there.
    """
    common = [key for key in base if key in set(mine) and key in set(theirs)]
    in_mine = [key for key in mine if key in set(common)]
    in_theirs = [key for key in theirs if key in set(common)]
    if in_mine not in (common, in_theirs) and in_theirs != common:
        return None
    first, second = (theirs, mine) if in_mine == common else (mine, theirs)
    return _woven(first, second, set(base))


def _woven(first: Sequence[str], second: Sequence[str], base: set[str]) -> list[str]:
    after: dict[str | None, list[str]] = {}
    have, previous = set(first), None
    for key in second:
        if key in have:
            previous = key
        else:
            after.setdefault(previous, []).append(key)
    out: list[str] = []
    pending = list(after.pop(None, ()))
    for key in first:
        if key in base:  # lines ``first`` added behind the same line come before those of ``second``
            out += pending
            pending = []
        out.append(key)
        pending += after.pop(key, ())
    return out + pending
