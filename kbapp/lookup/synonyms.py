"""Applies the trade's table to the words of a question: other names for the same thing, and what sayings can mean."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from kbapp.lookup.trade import AMBIGUOUS, SAME, SAYINGS
from kbapp.lookup.words import NOT, tokens
from kbapp.records.symptoms import symptoms

Terms = tuple[str, ...]
Table = Mapping[Terms, tuple[tuple[Terms, str], ...]]
"""A name → its other names, as terms and as written."""

NO_TERMS: Final[Table] = {}
_LONGEST: Final = 5


@dataclass(frozen=True, slots=True)
class OtherName:
    """Words ``start`` to ``end`` of a question also go by the words ``terms``; ``label`` is that name as written."""

    start: int
    end: int
    terms: Terms
    label: str


@dataclass(frozen=True, slots=True)
class Meaning:
    """Words ``start`` to ``end`` of a question can mean the concern ``symptom``, one of ``among``."""

    start: int
    end: int
    symptom: str
    among: int


def key_of(phrase: str) -> Terms:
    """Returns the terms a phrase is looked up by."""
    return tuple(token.word.terms[0] for token in tokens(phrase) if token.word.terms and not token.word.stop)


@lru_cache(maxsize=1)
def _same() -> Table:
    return table_of(SAME, spared=AMBIGUOUS)


def table_of(lines: Iterable[Sequence[str]], *, spared: frozenset[str] = frozenset()) -> Table:
    """Returns names of one thing, a line each, as a table; words in ``spared`` stand for nothing."""
    table: dict[Terms, dict[Terms, str]] = {}
    for names in lines:
        keys = {key: name for name in names if (key := key_of(name))}
        for key in keys:
            if key not in {(word,) for word in spared}:
                table.setdefault(key, {}).update({other: name for other, name in keys.items() if other != key})
    return {key: tuple(others.items()) for key, others in table.items()}


@lru_cache(maxsize=1)
def _sayings() -> dict[Terms, tuple[str, ...]]:
    return {key_of(saying): meant for saying, meant in SAYINGS.items()}


@lru_cache(maxsize=1)
def _by_terms() -> dict[frozenset[str], str]:
    """The vocabulary's own terms by their words with negations, so that ``pedal sinks`` is a sinking pedal."""
    return {_stems(symptom.term): symptom.term for symptom in symptoms()}


def _stems(text: str) -> frozenset[str]:
    found: set[str] = set()
    for token in tokens(text):
        if token.word.terms and not token.word.stop and not token.word.negates:
            negated = [term for term in token.extra if term.startswith(NOT)]
            found.update(negated or token.word.terms[:1])
    return frozenset(found)


def _spans(words: Sequence[str]) -> Iterator[tuple[int, int, Terms]]:
    for start in range(len(words)):
        for end in range(min(len(words), start + _LONGEST), start, -1):
            yield start, end, tuple(words[start:end])


def other_names(words: Sequence[str], own: Table = NO_TERMS) -> list[OtherName]:
    """Returns the other names of every run of a question's words (their lead terms, stop words left out).

    ``own`` are the shop's terms, beside those of the trade.
    """
    return [
        OtherName(start, end, terms, label)
        for start, end, key in _spans(words)
        for table in (_same(), own)
        for terms, label in table.get(key, ())
    ]


def ambiguous(words: Iterable[str], own: Table = NO_TERMS) -> tuple[str, ...]:
    """Returns the words of a question that mean several things in the trade and that the shop's terms do not settle."""
    return tuple(dict.fromkeys(word for word in words if word in AMBIGUOUS and (word,) not in own))


def meanings(words: Sequence[str]) -> list[Meaning]:
    """Returns the concerns that sayings among a question's words can mean."""
    table = _sayings()
    return [
        Meaning(start, end, symptom, len(meant))
        for start, end, key in _spans(words)
        for meant in (table.get(key, ()),)
        for symptom in meant
    ]


def named_concerns(text: str) -> list[str]:
    """Returns the terms of the vocabulary all of whose words stand in a short text, the most specific ones only."""
    stems = _stems(text)
    found = [(words, term) for words, term in _by_terms().items() if words <= stems]
    return [term for words, term in found if not any(words < other for other, _ in found)]


@lru_cache(maxsize=1)
def _same_sets() -> dict[frozenset[str], frozenset[frozenset[str]]]:
    found: dict[frozenset[str], set[frozenset[str]]] = {}
    for key, others in _same().items():
        found.setdefault(frozenset(key), set()).update(frozenset(terms) for terms, _ in others)
    return {key: frozenset(others) for key, others in found.items()}


def same_thing(one: frozenset[str], other: frozenset[str]) -> bool:
    """Returns whether two names of a part, given as their stems, mean the same part."""
    return one == other or other in _same_sets().get(one, ())


@lru_cache(maxsize=1)
def _one_names() -> dict[str, str]:
    """Every single word with other single-word names → the first name of the line it stands in first."""
    first: dict[str, str] = {}
    for names in SAME:
        words = [key[0] for key in map(key_of, names) if len(key) == 1]
        for word in words:
            first.setdefault(word, words[0])
    return first


def one_name(stem: str) -> str:
    """Returns one stem for all single words that name the same thing (``earth`` and ``ground``)."""
    return _one_names().get(stem, stem)
