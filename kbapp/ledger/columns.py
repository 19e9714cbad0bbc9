"""Columns of a large table as arrays: texts coded by number, and the few ways the ledger groups rows."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Words:
    """A column of texts: ``codes`` point into ``words``."""

    codes: Numbers
    words: tuple[str, ...]

    def among(self, *wanted: str) -> Flags:
        """Returns where the text is one of these."""
        return self.where(lambda word: word in wanted)

    def called(self, *names: str) -> Flags:
        """Returns where the text is one of these names, letter case and spacing left out."""
        wanted = frozenset(map(same_name, names))
        return self.where(lambda word: same_name(word) in wanted)

    def where(self, holds: Callable[[str], bool]) -> Flags:
        """Returns where something holds of the text; it is asked once a different text."""
        table = np.array([holds(word) for word in self.words], dtype=np.bool_)
        return np.asarray(table[self.codes] if len(table) else np.zeros(0, dtype=np.bool_), dtype=np.bool_)

    def take(self, rows: Flags | Numbers) -> "Words":
        """Returns the column of some rows."""
        return Words(self.codes[rows], self.words)

    def at(self, row: int) -> str:
        """Returns the text of a row."""
        return self.words[int(self.codes[row])]


def words(values: Sequence[str]) -> Words:
    """Returns a coded column."""
    known: dict[str, int] = {}
    codes = [known.setdefault(value, len(known)) for value in values]
    return Words(np.array(codes, dtype=np.int64), tuple(known))


def unpack(values: Sequence[str], names: Sequence[str], between: str) -> dict[str, Words]:
    """Returns the columns that were packed into one text each, by name."""
    packed = words(values)
    fields = zip(*(whole.split(between) for whole in packed.words), strict=True)
    columns = [words(field) for field in fields] if packed.words else [packed] * len(names)
    return {
        name: Words(of.codes[packed.codes], of.words) if packed.words else of
        for name, of in zip(names, columns, strict=True)
    }


def floats(values: Sequence[float | None]) -> Floats:
    """Returns numbers, NaN where there is none."""
    return np.array(values, dtype=np.float64)


def flags(values: Sequence[Any]) -> Flags:
    """Returns truth values, whether the database gave them as such or as 0 and 1."""
    return np.array(values, dtype=np.bool_)


def numbers(values: Sequence[int]) -> Numbers:
    """Returns whole numbers."""
    return np.array(values, dtype=np.int64)


def same_name(name: str) -> str:
    """Returns a name as names are compared: letter case and spacing left out."""
    return " ".join(name.casefold().split())


def renamed(column: Words, known: dict[str, int]) -> Numbers:
    """Returns codes of the compared names; ``known`` grows and ties several columns together."""
    table = [known.setdefault(same_name(word), len(known)) for word in column.words]
    return np.asarray(np.array(table, dtype=np.int64)[column.codes] if table else column.codes, dtype=np.int64)


def last_rows(keys: Numbers, order: Numbers) -> Numbers:
    """Returns, for each different key, the row that stands last in ``order``; by key."""
    ranked = np.lexsort((order, keys))
    ends = np.flatnonzero(np.diff(keys[ranked], append=-1) != 0)
    return np.asarray(ranked[ends], dtype=np.int64)


def any_by(keys: Numbers, holds: Flags) -> tuple[Numbers, Flags]:
    """Returns the different keys and whether something holds in any of their rows."""
    found, place = np.unique(keys, return_inverse=True)
    out = np.zeros(len(found), dtype=np.bool_)
    out[place[holds]] = True
    return np.asarray(found, dtype=np.int64), out


def sums(codes: Numbers, values: Floats, size: int) -> Floats:
    """Returns the sum of each code, rows without a value left out."""
    there = ~np.isnan(values)
    return np.asarray(np.bincount(codes[there], weights=values[there], minlength=size), dtype=np.float64)


def counts(codes: Numbers, size: int) -> Numbers:
    """Returns how many rows each code has."""
    return np.asarray(np.bincount(codes, minlength=size), dtype=np.int64)


def commonest(column: Words, keys: Numbers, size: int) -> list[str]:
    """Returns the commonest spelling of each key (the first by letters where several are), blank without rows."""
    best = [("", 0)] * size
    pairs, of = np.unique(keys * max(1, len(column.words)) + column.codes, return_counts=True)
    for pair, n in zip(pairs.tolist(), of.tolist(), strict=True):
        key, code = divmod(pair, len(column.words))
        word = column.words[code]
        if n > best[key][1] or (n == best[key][1] and word < best[key][0]):
            best[key] = (word, n)
    return [word for word, _ in best]
