"""All results of a book by the words of their tests, to find those that come from the same test as one at hand."""

from collections import defaultdict
from math import log
from typing import Final, NamedTuple

from kbapp.lookup.evidence import Result, read_result, same_outcome, same_test

MOST_NEAR: Final = 2000
"""Results that are compared with one; those that share its rarest words go first."""


class Compared(NamedTuple):
    """A result of the book: its number, how far it is the same test (0 to 1), and whether it agrees (1 to -1)."""

    number: int
    like: float
    agrees: float


class ResultBook:
    """Finds the results of a book that may come from the same test, by the words they share."""

    def __init__(self) -> None:
        self._by_word: dict[str, list[int]] = defaultdict(list)
        self._by_test: dict[str, list[int]] = defaultdict(list)
        self._results: dict[int, Result] = {}

    def __len__(self) -> int:
        return len(self._results)

    def has(self, number: int) -> bool:
        """Returns whether a result is in already."""
        return number in self._results

    def add(self, number: int, test: str, outcome: str, isolates: str = "") -> None:
        """Takes a result of the book in; one it has already is left as it is."""
        if number in self._results:
            return
        result = self._results[number] = read_result(test, outcome, isolates)
        self._by_test[result.test].append(number)
        for word in result.test_stems | result.isolates:
            self._by_word[word].append(number)

    def knows(self, word: str) -> bool:
        """Returns whether a test of the book has a word."""
        return word in self._by_word

    def weigh(self, word: str) -> float:
        """Returns how telling a word of a test is; one the book does not know tells little, as nothing can meet it."""
        count = len(self._by_word.get(word, ()))
        return 0.3 + log(1 + len(self._results) / count) if count else 1.0

    def compare(self, asked: Result) -> list[Compared]:
        """Returns the results that compare with the one asked about, the least alike test first."""
        near = dict.fromkeys(self._by_test.get(asked.test, ()))
        for word in sorted(asked.test_stems | asked.isolates, key=lambda one: len(self._by_word.get(one, ()))):
            near.update(dict.fromkeys(self._by_word.get(word, ())[: MOST_NEAR - len(near)]))
        found = []
        for number in near:
            like = same_test(asked, self._results[number], self.weigh)
            if like:
                found.append(Compared(number, like, same_outcome(asked, self._results[number])))
        return sorted(found, key=lambda one: (one.like, one.agrees))
