"""The plain spellings of a book with how many cases use each: prefixes while typing, near words for slips."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

from kbapp.lookup.postings import Segment

MOST_EXPANSIONS: Final = 64
_END: Final = "\U0010ffff"


class Lexicon:
    """The spellings of one segment in byte order."""

    def __init__(self, segment: Segment) -> None:
        self.words, self.counts = segment.lexicon("plain")
        self._buckets: dict[tuple[str, int], list[str]] | None = None

    def count(self, word: str) -> int:
        """Returns how many documents use a spelling."""
        at = bisect_left(self.words, word)
        return int(self.counts[at]) if at < len(self.words) and self.words[at] == word else 0

    def with_prefix(self, prefix: str, most: int) -> list[tuple[str, int]]:
        """Returns the most used spellings that begin so, with their counts."""
        start = bisect_left(self.words, prefix)
        end = bisect_left(self.words, prefix + _END, lo=start)
        counts = self.counts[start:end]
        picked: NDArray[np.int64] = (
            np.arange(len(counts)) if len(counts) <= most else np.argpartition(counts, -most)[-most:]
        )
        return [(self.words[start + at], int(counts[at])) for at in picked.tolist()]

    def near(self, word: str, slips: int) -> list[tuple[str, int, int]]:
        """Returns spellings within a number of slips, as (spelling, slips, count), also with a wrong first letter."""
        buckets = self._by_shape()
        found: dict[str, int] = {}
        for length in range(len(word) - slips, len(word) + slips + 1):
            for first in {word[0], word[1:2] or word[0]}:
                choices = buckets.get((first, length), ())
                for spelling, distance, _ in extract(word, choices, scorer=OSA.distance, score_cutoff=slips, limit=8):
                    found[spelling] = int(distance)
        return [(spelling, distance, self.count(spelling)) for spelling, distance in found.items()]

    def _by_shape(self) -> dict[tuple[str, int], list[str]]:
        if self._buckets is None:
            buckets: dict[tuple[str, int], list[str]] = defaultdict(list)
            for word in self.words:
                if len(word) > 3 and word.isalpha():
                    buckets[word[0], len(word)].append(word)
            self._buckets = buckets
        return self._buckets


def expansions(lexicons: Sequence[Lexicon], prefix: str, most: int = MOST_EXPANSIONS) -> list[tuple[str, int]]:
    """Returns the most used spellings of all segments that begin so, most used first."""
    counts: dict[str, int] = defaultdict(int)
    for lexicon in lexicons:
        for word, count in lexicon.with_prefix(prefix, most):
            counts[word] += count
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))[:most]


def near_words(lexicons: Sequence[Lexicon], word: str, slips: int) -> list[tuple[str, int, int]]:
    """Returns near spellings of all segments as (spelling, slips, count): fewest slips first, then most used."""
    found: dict[str, tuple[int, int]] = {}
    for lexicon in lexicons:
        for spelling, distance, count in lexicon.near(word, slips):
            _, before = found.get(spelling, (distance, 0))
            found[spelling] = (distance, before + count)
    ranked = [(spelling, distance, count) for spelling, (distance, count) in found.items()]
    return sorted(ranked, key=lambda item: (item[1], -item[2], item[0]))
