"""Recognises the concerns that people describe in everyday words, whatever the order of the words.

A pattern of ``kbapp.lookup.lay_words`` is met when each of its slots has a word of its own, close together. A negated
word meets only a pattern that has a negation of its own, so that "never hot in town" is no overheating in town, and
"fine in town" speaks of no fault in town either. A slot marked with ``!`` never takes a negated word. What
a match weighs is how telling its words are (a word of few concerns tells much) and how close they stand. A match
whose words are all part of another's gives way to it; concerns on the same words share the weight.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log
from typing import Final, NamedTuple

from kbapp.lookup.lay_words import LAY_WORDS
from kbapp.lookup.words import NOT, Token, read_word, tokens

MOST_WORDS: Final = 400
"""Words of a text that are looked at; a concern is named early."""
_NEGATION: Final = "not"
_CALM: Final = frozenset(
    ("fine", "ok", "okay", "good", "normal", "perfect", "alright", "smooth", "cool", "well", "easy")
)
"""Words that say there is no fault where, or while, what follows holds."""
_WHERE: Final = frozenset(
    ("in", "on", "at", "once", "when", "while", "if", "after", "under", "above", "below", "again")
)
_CALMED: Final = 3
_WINDOW: Final = 9
_SENTENCE: Final = 3
_LOOSENESS: Final = 0.05
_LEAST_SHARE: Final = 0.5
_SURE: Final = 5.0
_MOST_PLACES: Final = 6


class Spotted(NamedTuple):
    """A concern that words can mean: its weight (0 to 1) and the places of those words in the text's tokens."""

    concern: str
    weight: float
    places: frozenset[int]


class _Match(NamedTuple):
    concern: str
    score: float
    places: frozenset[int]


@dataclass(frozen=True, slots=True)
class _Pattern:
    concern: str
    slots: int
    plain: frozenset[int]


@dataclass(frozen=True, slots=True)
class _Patterns:
    """``by_word``: a word's stem → the (pattern, slot) it can meet; ``telling``: how much a word says."""

    all: tuple[_Pattern, ...]
    by_word: dict[str, tuple[tuple[int, int], ...]]
    telling: dict[str, float]


class _Place(NamedTuple):
    at: int
    where: int
    word: str
    negated: bool

    @property
    def turns(self) -> bool:
        return self.word == _NEGATION or self.word in _CALM


def slots_of(pattern: str) -> tuple[frozenset[str], ...]:
    """Returns the slots of a pattern as stems; every negation is ``not``."""
    return tuple(frozenset(_key(word) for word in slot.strip("!").split("|")) for slot in pattern.split())


def _key(raw: str) -> str:
    word = read_word(raw)
    return _NEGATION if word.negates else word.terms[0] if word.terms else raw


@lru_cache(maxsize=1)
def _patterns() -> _Patterns:
    made: list[_Pattern] = []
    by_word: dict[str, list[tuple[int, int]]] = defaultdict(list)
    concerns: dict[str, set[str]] = defaultdict(set)
    for concern, patterns in LAY_WORDS.items():
        for pattern in patterns:
            slots = slots_of(pattern)
            for slot, words in enumerate(slots):
                for word in words:
                    by_word[word].append((len(made), slot))
                    concerns[word].add(concern)
            plain = frozenset(at for at, slot in enumerate(pattern.split()) if slot.startswith("!"))
            made.append(_Pattern(concern, len(slots), plain))
    telling = {word: log(1 + len(LAY_WORDS) / len(named)) for word, named in concerns.items()}
    return _Patterns(tuple(made), {word: tuple(found) for word, found in by_word.items()}, telling)


def spot(text: str) -> tuple[Spotted, ...]:
    """Returns the concerns a text describes, surest first; ``places`` count the words of ``tokens(text)``."""
    return spot_words(text, tuple(tokens(text)))


def spot_words(text: str, words: Sequence[Token]) -> tuple[Spotted, ...]:
    """Returns the concerns that the words of a text describe, surest first."""
    places = _places(text, words[:MOST_WORDS])
    matches = [match for pattern, slots in _met(places).items() if (match := _closest(pattern, slots))]
    return _weighed(_most_specific(matches))


def _places(text: str, words: Sequence[Token]) -> list[_Place]:
    """Returns the words with their distance from the start in content words; a sentence's end widens it."""
    found: list[_Place] = []
    where = before = calm = 0
    for at, token in enumerate(words):
        gap = text[before : token.start]
        if any(char in ".;!?\n" for char in gap):
            where += _SENTENCE
        before = token.end
        word = token.word
        if "," in gap or "." in gap:
            calm = 0
        if word.terms:
            negated = any(term.startswith(NOT) for term in token.extra) or bool(calm and not word.light)
            found.append(_Place(at, where, _NEGATION if word.negates else word.terms[0], negated))
        calm = _calm(words, at, calm)
        where += not word.stop
    return found


def _calm(words: Sequence[Token], at: int, calm: int) -> int:
    """Returns how many more words are told to be without fault, after the word ``at``."""
    plain = words[at].word.plain
    if at and plain and plain[0] in _WHERE and set(words[at - 1].word.plain) & _CALM:
        return _CALMED
    return max(0, calm - (not words[at].word.stop))


def _met(places: Iterable[_Place]) -> dict[int, dict[int, list[_Place]]]:
    """Returns the patterns all of whose slots have a word somewhere."""
    patterns = _patterns()
    slots: dict[int, dict[int, list[_Place]]] = defaultdict(lambda: defaultdict(list))
    for place in places:
        for pattern, slot in patterns.by_word.get(place.word, ()):
            if place.negated and slot in patterns.all[pattern].plain:
                continue
            if len(slots[pattern][slot]) < _MOST_PLACES:
                slots[pattern][slot].append(place)
    return {pattern: found for pattern, found in slots.items() if len(found) == patterns.all[pattern].slots}


def _closest(pattern: int, slots: dict[int, list[_Place]]) -> _Match | None:
    """Returns the best choice of a word for each slot, or None where none holds."""
    best: tuple[float, list[_Place]] | None = None
    ordered = sorted(slots, key=lambda slot: len(slots[slot]))
    for lead in (ordered[0], *(slot for slot in ordered[1:] if any(place.turns for place in slots[slot]))):
        others = [slots[slot] for slot in ordered if slot != lead]
        for first in slots[lead] if lead == ordered[0] else [place for place in slots[lead] if place.turns]:
            chosen = _around(first, others)
            if chosen and _holds(chosen):
                score = _score(chosen)
                if best is None or score > best[0]:
                    best = score, chosen
    if best is None:
        return None
    return _Match(_patterns().all[pattern].concern, best[0], frozenset(place.at for place in best[1]))


def _around(first: _Place, others: Sequence[Sequence[_Place]]) -> list[_Place] | None:
    """Returns a word for every slot, each the nearest to the first that is still free."""
    chosen = [first]
    for found in others:
        free = [place for place in found if all(place.at != one.at for one in chosen)]
        if not free:
            return None
        chosen.append(min(free, key=lambda place: abs(place.where - first.where)))
    return chosen


def _holds(chosen: Sequence[_Place]) -> bool:
    where = [place.where for place in chosen]
    if max(where) - min(where) > _WINDOW:
        return False
    return any(place.turns for place in chosen) or not any(place.negated for place in chosen)


def _score(chosen: Sequence[_Place]) -> float:
    telling = _patterns().telling
    where = [place.where for place in chosen]
    loose = max(0, max(where) - min(where) + 1 - len(chosen))
    return sum(telling[place.word] for place in chosen) / (1 + _LOOSENESS * loose)


def _most_specific(matches: Sequence[_Match]) -> list[_Match]:
    """Drops the matches whose words are all part of those of another concern, which says more."""
    covered: dict[str, frozenset[int]] = defaultdict(frozenset)
    for one in matches:
        covered[one.concern] |= one.places
    best = _best(matches)
    strongest = {one.concern: one for one in best}
    return [
        one
        for one in best
        if not any(
            one.places < other.places or (one.score < 0.8 * other.score and one.places < covered[other.concern])
            for other in strongest.values()
        )
    ]


def _best(matches: Sequence[_Match]) -> list[_Match]:
    """Returns each concern's best match, those far below the best of all left out."""
    best: dict[str, _Match] = {}
    for one in matches:
        if one.concern not in best or one.score > best[one.concern].score:
            best[one.concern] = one
    least = _LEAST_SHARE * max((one.score for one in best.values()), default=0.0)
    return [one for one in best.values() if one.score >= least]


def _weighed(matches: Sequence[_Match]) -> tuple[Spotted, ...]:
    found = []
    for one in matches:
        rivals = sum(other.score for other in matches if other.places & one.places)
        weight = min(1.0, one.score / _SURE) * one.score / rivals
        found.append(Spotted(one.concern, weight, one.places))
    return tuple(sorted(found, key=lambda one: (-one.weight, one.concern)))
