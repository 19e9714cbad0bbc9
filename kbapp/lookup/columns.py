"""The structured facts of one segment as numpy columns, decoded once from their postings."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from kbapp.lookup import marks
from kbapp.lookup.marks import SEPARATOR
from kbapp.lookup.postings import Ids, Segment
from kbapp.lookup.question import FACETS

MANY_VALUED: Final = ("symptom", "code", marks.SPOTTED)
"""What a case can have several values of; of the others it has at most one."""

SINGLE: Final = (*(name for name in FACETS if name not in MANY_VALUED), marks.VEHICLE, marks.SIGNED)
LISTED: Final = (marks.TEST, marks.TRIED, marks.CURED)


class Vocabulary:
    """Numbers the values of every kind of fact, for all segments alike; 0 stands for none. It only grows."""

    def __init__(self) -> None:
        self._numbers: dict[str, dict[str, int]] = {kind: {"": 0} for kind in (*SINGLE, *MANY_VALUED, *LISTED)}
        self._values: dict[str, list[str]] = {kind: [""] for kind in self._numbers}

    def number(self, kind: str, value: str) -> int:
        """Returns the number of a value, giving it the next one where it is new."""
        numbers = self._numbers[kind]
        found = numbers.get(value)
        if found is None:
            found = numbers[value] = len(numbers)
            self._values[kind].append(value)
        return found

    def values(self, kind: str) -> list[str]:
        """Returns the values of a kind by their numbers."""
        return self._values[kind]


class Columns:
    """``single[kind]`` gives one number a document; ``pairs[kind]`` gives (documents, numbers) for the others.

    ``listed[kind]`` are the numbers of the tests and parts that occur; their postings are read when asked for.
    """

    def __init__(self, segment: Segment, vocabulary: Vocabulary) -> None:
        self.single = {kind: np.zeros(segment.count, dtype=np.int32) for kind in SINGLE}
        self.listed: dict[str, set[int]] = {kind: set() for kind in LISTED}
        pairs: dict[str, list[tuple[Ids, int]]] = {kind: [] for kind in MANY_VALUED}
        for kind, value, term in _facts(segment):
            number = vocabulary.number(kind, value)
            if kind in self.single:
                self.single[kind][segment.postings("mark", term).ids] = number
            elif kind in pairs:
                pairs[kind].append((segment.postings("mark", term).ids, number))
            else:
                self.listed[kind].add(number)
        self.pairs = {kind: _flat(found) for kind, found in pairs.items()}


def _facts(segment: Segment) -> Iterator[tuple[str, str, str]]:
    known = frozenset((*SINGLE, *MANY_VALUED, *LISTED))
    names, _counts = segment.lexicon("mark")
    for term in names:
        kind, _, value = term.partition(SEPARATOR)
        if kind in known:
            yield kind, value, term


def _flat(found: list[tuple[Ids, int]]) -> tuple[Ids, Ids]:
    if not found:
        return np.empty(0, dtype=np.int32), np.empty(0, dtype=np.int32)
    documents = np.concatenate([ids for ids, _ in found])
    numbers = np.repeat(np.array([number for _, number in found], dtype=np.int32), [len(ids) for ids, _ in found])
    order = np.argsort(documents, kind="stable")
    return documents[order], numbers[order]
