"""Whether a past test speaks for the job at hand: the same outcome of it agrees, another one contradicts.

Tests and outcomes are ids of a map or free words. Tests are compared by what is done, to what and where, whatever it
is called (``kbapp.lookup.result_words``), and by what they isolate; positions that mirror each other left to right are
kin. Outcomes are compared by which side of an opposition they are on (``holds`` and ``drops``), by what one says and
the other denies, and by measured amounts.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from kbapp.lookup.amounts import Amount, alike, amounts, in_unit
from kbapp.lookup.result_words import BIG_DROP, BIG_IS_BAD, LITTLE_DROP, LOW_IS_BAD, OUTCOME_PHRASES, SIDES, TEST_SAME
from kbapp.lookup.synonyms import one_name
from kbapp.lookup.trade import SAME
from kbapp.lookup.words import NOT, Token, stem, tokens
from kbapp.records.units import unit

_LEAST_LIKE: Final = 0.25
_LEAST_COMMON: Final = 0.4
_MIRROR: Final = {"lf": "rf", "rf": "lf", "lr": "rr", "rr": "lr", "left": "right", "right": "left"}
_POSITIONS: Final = frozenset((*_MIRROR, "front", "rear"))
_CORNERS: Final = {
    "lf": frozenset(("left", "front")),
    "rf": frozenset(("right", "front")),
    "lr": frozenset(("left", "rear")),
    "rr": frozenset(("right", "rear")),
}
MIRRORED: Final = 0.8
_OTHER_PLACE: Final = 0.35
_UNSURE: Final = 0.4
_KIN: Final = 0.6
_DROPS: Final = frozenset(("voltage drop", "ground"))
_ISOLATES: Final = 0.6
_LONGEST: Final = 4
_DONE: Final = frozenset(line[0] for line in TEST_SAME)
_SOUND, _AMOUNT, _FAULT, _GRIP = (list(SIDES).index(kind) for kind in ("sound", "amount", "fault", "grip"))


@dataclass(frozen=True, slots=True)
class Result:
    """A test and its outcome taken apart; ``sides`` tells which side of each opposition the outcome is on."""

    test: str
    outcome: str
    test_stems: frozenset[str]
    isolates: frozenset[str]
    places: frozenset[str]
    outcome_stems: frozenset[str]
    sides: tuple[int, ...]
    amounts: tuple[Amount, ...]


@lru_cache(maxsize=1)
def _names() -> dict[tuple[str, ...], str]:
    """Every name of a thing or of what is done, as stems → its first name; what tests say goes first."""
    table: dict[tuple[str, ...], str] = {}
    for line in (*TEST_SAME, *(names for names in SAME if len(names[0]) > 1)):
        for name in line:
            table.setdefault(_stems(name), line[0])
    table.pop((), None)
    return table


def _stems(text: str) -> tuple[str, ...]:
    return tuple(term for token in tokens(text) if not token.word.stop for term in _parts(token))


def _parts(token: Token) -> tuple[str, ...]:
    """Returns the terms of a word; of a compound (``leak-down``, ``radiator_spread``) those of its parts."""
    terms = token.word.terms
    return terms[1:] if len(terms) > 1 else terms


@lru_cache(maxsize=1)
def _side_words() -> dict[str, tuple[tuple[int, int], ...]]:
    found: dict[str, list[tuple[int, int]]] = {}
    for at, sides in enumerate(SIDES.values()):
        for side, words in zip((1, -1), sides, strict=True):
            for word in words.split():
                known = found.setdefault(stem(word), [])
                if (at, side) not in known:
                    known.append((at, side))
    return {word: tuple(sides) for word, sides in found.items()}


@lru_cache(maxsize=1)
def _side_phrases() -> dict[tuple[str, ...], tuple[int, int]]:
    kinds = list(SIDES)
    return {_stems(phrase): (kinds.index(kind), side) for phrase, (kind, side) in OUTCOME_PHRASES.items()}


def is_outcome_word(word: str) -> bool:
    """Returns whether a stem tells of an outcome."""
    return word in _side_words()


@lru_cache(maxsize=50_000)
def read_result(test: str, outcome: str, isolates: str = "") -> Result:
    """Returns a result taken apart."""
    test_stems, places = _concepts(test)
    hints, _ = _concepts(isolates)
    outcome_stems, more = _outcome_words(outcome)
    return Result(
        test.strip().casefold(),
        outcome.strip().casefold(),
        test_stems,
        hints - test_stems,
        places | more,
        outcome_stems,
        _sides(outcome, test_stems),
        amounts(outcome),
    )


def _corners(places: set[str]) -> frozenset[str]:
    """Returns positions with ``front`` and ``left`` as ``lf``, and so on."""
    for corner, two in _CORNERS.items():
        if two <= places:
            return frozenset(places - two | {corner})
    return frozenset(places)


def _concepts(text: str) -> tuple[frozenset[str], frozenset[str]]:
    """Returns what a test's words name, one name for each thing, and the positions."""
    words: list[tuple[str, bool]] = []
    places: set[str] = set()
    for token in tokens(text):
        word = token.word
        if not word.terms or word.stop or word.negates:
            continue
        if word.plain[0] in _POSITIONS:
            places.add(word.plain[0])
            continue
        words += [(term, word.light) for term in _parts(token)]
    return frozenset(_named(words)), _corners(places)


def _named(words: Sequence[tuple[str, bool]]) -> Iterable[str]:
    at = 0
    while at < len(words):
        for length in range(min(_LONGEST, len(words) - at), 0, -1):
            name = _names().get(tuple(word for word, _ in words[at : at + length]))
            if name:
                yield name
                if length > 1 and name not in _DONE:  # a brake hose is a hose, too
                    yield _names().get((words[at + length - 1][0],), one_name(words[at + length - 1][0]))
                at += length
                break
        else:
            word, light = words[at]
            if not light:
                yield one_name(word)
            at += 1


def _outcome_words(text: str) -> tuple[frozenset[str], frozenset[str]]:
    """Returns the content words of an outcome by one name for each thing, negated ones marked, and the positions."""
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
        stems.update((NOT if negated else "") + one_name(term) for term in _parts(token))
    return frozenset(stems), _corners(places)


def _sides(outcome: str, test: frozenset[str]) -> tuple[int, ...]:
    """Returns for each opposition 1, -1, or 0 where the outcome says nothing of it; a negation turns a word round."""
    sides = [0] * len(SIDES)
    words = [(term, _turned(token)) for token in tokens(outcome) if not token.word.stop for term in _parts(token)]
    for word, turned in _after_phrases(words, sides):
        for kind, side in _side_words().get(word, ()):
            sides[kind] = sides[kind] or side * turned
    return _understood(sides, test, amounts(outcome))


def _after_phrases(words: Sequence[tuple[str, int]], sides: list[int]) -> list[tuple[str, int]]:
    """Sets the sides that phrases stand for, which go before single words, and returns the words left over."""
    left: list[tuple[str, int]] = []
    at = 0
    while at < len(words):
        for length in (3, 2):
            phrase = _side_phrases().get(tuple(word for word, _ in words[at : at + length]))
            if phrase:
                sides[phrase[0]] = sides[phrase[0]] or phrase[1]
                at += length
                break
        else:
            left.append(words[at])
            at += 1
    return left


def _turned(token: Token) -> int:
    return -1 if any(term.startswith(NOT) for term in token.extra) else 1


def _understood(sides: list[int], test: frozenset[str], measured: Sequence[Amount]) -> tuple[int, ...]:
    """Returns the sides with what an amount means for the kind of test: a big drop is bad, a high pressure is good."""
    if sides[_AMOUNT] and test & BIG_IS_BAD:
        sides[_SOUND] = -sides[_AMOUNT]
    elif sides[_AMOUNT] and test & LOW_IS_BAD and not sides[_SOUND]:
        sides[_SOUND] = sides[_AMOUNT]
    if not sides[_SOUND] and test & _DROPS:
        sides[_SOUND] = _drop_side(measured)
    if sides[_SOUND] > 0 and sides[_FAULT] < 0:  # "stays firm" tells of no fault that stays
        sides[_FAULT] = 0
    return tuple(sides)


def _drop_side(measured: Sequence[Amount]) -> int:
    """Returns 1 for a small voltage drop, -1 for a big one, 0 between them or for other amounts."""
    volts = next((one for one in measured if unit(one.unit).dimension == "voltage"), None)
    if volts is None:
        return 0
    low, high = in_unit(volts, "V")
    return 1 if high <= LITTLE_DROP else -1 if low >= BIG_DROP else 0


def _even(_word: str) -> float:
    return 1.0


def same_test(one: Result, other: Result, weigh: Callable[[str], float] = _even) -> float:
    """Returns how far two results come from the same test, 0 to 1; ``weigh`` tells how telling a word is."""
    if one.test == other.test:
        like = 1.0
    else:
        both = sum(map(weigh, one.test_stems & other.test_stems))
        both += _ISOLATES * sum(map(weigh, one.test_stems & other.isolates | other.test_stems & one.isolates))
        mine, theirs = sum(map(weigh, one.test_stems)), sum(map(weigh, other.test_stems))
        smaller, union = min(mine, theirs), mine + theirs - both
        like = min(1.0, 0.5 * both / smaller + 0.5 * both / union) if smaller and union > 0 else 0.0
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
    measured = alike(one.amounts, other.amounts)
    if measured is not None:
        return measured
    if _denied(one.outcome_stems, other.outcome_stems) or _denied(other.outcome_stems, one.outcome_stems):
        return -1.0
    pairs = [a == b for a, b in zip(one.sides, other.sides, strict=True) if a and b]
    common = len(one.outcome_stems & other.outcome_stems)
    smaller = min(len(one.outcome_stems), len(other.outcome_stems)) or 1
    if all(pairs) and pairs:
        return 0.7 + 0.3 * common / smaller
    if pairs:
        return -1.0 if not any(pairs) else -_UNSURE if sum(pairs) <= len(pairs) / 2 else 0.3
    if common / smaller >= _LEAST_COMMON:
        return common / smaller
    return _unlike(one.sides, other.sides)


def _unlike(one: Sequence[int], other: Sequence[int]) -> float:
    """Returns what outcomes of different kinds say: a fault that is gone goes with what is sound."""
    mine, theirs = (sides[_SOUND] or sides[_FAULT] or sides[_GRIP] for sides in (one, other))
    if mine and theirs:
        return _KIN if mine == theirs else -_KIN
    return -_UNSURE if any(one) and any(other) else 0.0


def _denied(one: frozenset[str], other: frozenset[str]) -> bool:
    """Returns whether one outcome says of a word what the other denies (``asked`` and ``not asked``)."""
    return any(word.startswith(NOT) and word.removeprefix(NOT) in other for word in one)


def agreement(one: Result, other: Result) -> float:
    """Returns how far one result supports (up to 1) or contradicts (down to -1) another; 0 where they do not meet."""
    like = same_test(one, other)
    return like * same_outcome(one, other) if like else 0.0
