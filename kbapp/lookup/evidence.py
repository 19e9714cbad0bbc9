"""Whether a past test speaks for the job at hand: the same outcome of it agrees, another one contradicts.

Tests and outcomes are ids of a map or free words. Free words are compared by their content words; positions that
mirror each other left to right are kin; words like ``holds`` and ``drops`` tell opposite outcomes apart.
"""

from collections import defaultdict
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from kbapp.lookup.synonyms import one_name
from kbapp.lookup.trade import POLARITY
from kbapp.lookup.words import NOT, stem, tokens

_LEAST_LIKE: Final = 0.4
_MIRROR: Final = {"lf": "rf", "rf": "lf", "lr": "rr", "rr": "lr", "left": "right", "right": "left"}
_POSITIONS: Final = frozenset((*_MIRROR, "front", "rear"))
MIRRORED: Final = 0.8
_OTHER_PLACE: Final = 0.35
_UNSURE: Final = 0.4


@dataclass(frozen=True, slots=True)
class Result:
    """A test and its outcome taken apart; ``sides`` tells which side of each opposition the outcome is on."""

    test: str
    outcome: str
    test_stems: frozenset[str]
    places: frozenset[str]
    outcome_stems: frozenset[str]
    sides: tuple[int, ...]


@lru_cache(maxsize=1)
def _opposites() -> tuple[tuple[frozenset[str], frozenset[str]], ...]:
    def stems(words: str) -> frozenset[str]:
        return frozenset(stem(word) for word in words.split())

    return tuple((stems(one), stems(other)) for one, other in POLARITY)


@lru_cache(maxsize=50_000)
def read_result(test: str, outcome: str) -> Result:
    """Returns a result taken apart."""
    test_stems, places = _words(test)
    outcome_stems, more = _words(outcome)
    plain_test, plain_outcome = test.strip().casefold(), outcome.strip().casefold()
    return Result(plain_test, plain_outcome, test_stems, places | more, outcome_stems, _sides(outcome))


def _words(text: str) -> tuple[frozenset[str], frozenset[str]]:
    """Returns the content words by one name for each thing, negated ones marked, and the positions."""
    stems: set[str] = set()
    places: set[str] = set()
    for token in tokens(text):
        word = token.word
        if not word.terms or word.stop or word.negates:
            continue
        if word.plain[0] in _POSITIONS:
            places.add(word.plain[0])
            continue
        negated = any(term.startswith(NOT) for term in token.extra)
        stems.add((NOT if negated else "") + one_name(word.terms[0]))
    return frozenset(stems), frozenset(places)


def _sides(outcome: str) -> tuple[int, ...]:
    """Returns for each opposition 1, -1, or 0 where the outcome says nothing of it; a negation turns a word round."""
    sides = [0] * len(_opposites())
    for token in tokens(outcome):
        if not token.word.terms:
            continue
        turned = -1 if any(term.startswith(NOT) for term in token.extra) else 1
        for at, (one, other) in enumerate(_opposites()):
            if token.word.terms[0] in one:
                sides[at] = sides[at] or turned
            elif token.word.terms[0] in other:
                sides[at] = sides[at] or -turned
    return tuple(sides)


def same_test(one: Result, other: Result) -> float:
    """Returns how far two results come from the same test: 0 to 1."""
    if one.test == other.test:
        like = 1.0
    else:
        both = len(one.test_stems & other.test_stems)
        smaller = min(len(one.test_stems), len(other.test_stems))
        union = len(one.test_stems | other.test_stems)
        like = 0.5 * both / smaller + 0.5 * both / union if smaller else 0.0
        if like < _LEAST_LIKE:
            return 0.0
    return like * _same_place(one.places, other.places)


def _same_place(one: frozenset[str], other: frozenset[str]) -> float:
    if one == other or not one or not other:
        return 1.0
    if frozenset(_MIRROR.get(place, place) for place in one) == other:
        return MIRRORED
    return _OTHER_PLACE


def same_outcome(one: Result, other: Result) -> float:
    """Returns 1 for the same outcome down to -1 for the opposite one."""
    if one.outcome == other.outcome:
        return 1.0
    if _denied(one.outcome_stems, other.outcome_stems) or _denied(other.outcome_stems, one.outcome_stems):
        return -1.0
    pairs = [(a, b) for a, b in zip(one.sides, other.sides, strict=True) if a and b]
    if any(a != b for a, b in pairs):
        return -1.0 if all(a != b for a, b in pairs) else -_UNSURE
    common = len(one.outcome_stems & other.outcome_stems)
    smaller = min(len(one.outcome_stems), len(other.outcome_stems)) or 1
    if pairs:
        return 0.7 + 0.3 * common / smaller
    return common / smaller if common / smaller >= _LEAST_LIKE else -_UNSURE


def _denied(one: frozenset[str], other: frozenset[str]) -> bool:
    """Returns whether one outcome says of a word what the other denies (``asked`` and ``not asked``)."""
    return any(word.startswith(NOT) and word.removeprefix(NOT) in other for word in one)


def agreement(one: Result, other: Result) -> float:
    """Returns how far one result supports (up to 1) or contradicts (down to -1) another; 0 where they do not meet."""
    like = same_test(one, other)
    return like * same_outcome(one, other) if like else 0.0


class ResultBook:
    """Finds the results of a book that may come from the same test, by the words they share."""

    def __init__(self) -> None:
        self._by_word: dict[str, set[int]] = defaultdict(set)
        self._by_test: dict[str, set[int]] = defaultdict(set)
        self._results: dict[int, Result] = {}

    def add(self, number: int, test: str, outcome: str) -> None:
        """Takes a result of the book in; one it has already is left as it is."""
        if number in self._results:
            return
        result = self._results[number] = read_result(test, outcome)
        self._by_test[result.test].add(number)
        for word in result.test_stems:
            self._by_word[word].add(number)

    def compare(self, asked: Result) -> list[tuple[int, float]]:
        """Returns the results that compare with the one asked about, with their agreement, weakest first."""
        near = set(self._by_test.get(asked.test, ()))
        for word in asked.test_stems:
            near |= self._by_word.get(word, set())
        found = [(number, agreement(asked, self._results[number])) for number in near]
        return sorted((pair for pair in found if pair[1]), key=lambda pair: (abs(pair[1]), pair[0]))
