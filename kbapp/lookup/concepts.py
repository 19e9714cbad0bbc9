"""A question's words as concepts: each with the ways a case can meet it, and what it weighs.

A concept is met by the word itself, by another trade name for it, by what the saying it stands in means, by a word
that begins like one still being typed, or, where the book does not know the word at all, by a near spelling.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from kbapp.lookup import weights
from kbapp.lookup.lexicon import expansions, near_words
from kbapp.lookup.marks import mark
from kbapp.lookup.parse import Reading
from kbapp.lookup.spotting import Spotted, spot_words
from kbapp.lookup.synonyms import NO_TERMS, Meaning, OtherName, Table, meanings, other_names
from kbapp.lookup.vehicles import VehicleNames
from kbapp.lookup.view import View
from kbapp.lookup.word_lists import FORMS
from kbapp.lookup.words import NOT, Token, stem

MOST_CONCEPTS: Final = 16
"""Words of a long question that count; the rarest are kept."""
_MOST_UNKNOWN: Final = 6
_SPELLING: Final = 0.7
_PREFIX: Final = 0.9
_PLAIN_OF_NEGATED: Final = 0.45
LIGHT: Final = 0.3
"""How much a light word counts beside a content word."""


class Way(NamedTuple):
    """One way to meet a concept: a case has all ``terms`` (words), or the structured fact ``fact``."""

    terms: tuple[str, ...]
    weight: float
    reason: str = "words"
    label: str = ""
    fact: str = ""


@dataclass(frozen=True, slots=True)
class Concept:
    """One word of the question.

    ``weight`` is its inverse document frequency; ``light`` and ``vehicle`` words only rank.
    """

    label: str
    ways: tuple[Way, ...]
    weight: float
    light: bool = False
    vehicle: bool = False
    known: bool = True


@dataclass(frozen=True, slots=True)
class Concepts:
    """All concepts of a question, the concerns its sayings can mean (with their weight), and a better spelling."""

    all: tuple[Concept, ...]
    concerns: dict[str, float] = field(default_factory=dict)
    did_you_mean: str = ""


class _Resolver:
    def __init__(self, view: View, reading: Reading, names: VehicleNames, own: Table, *, typing: bool) -> None:
        self.view = view
        self.reading = reading
        self.words = [token for token in reading.words if token.word.terms and not token.word.stop]
        self.typing = typing and reading.unfinished
        leads = [token.word.terms[0] for token in self.words]
        self.others = other_names(leads[:200], own)
        self.meant = meanings(leads[:200])
        self.spotted = spot_words(reading.text, reading.words)
        self.spots = _spots(reading.words, self.spotted)
        self.vehicle = names.places(self.words)
        self.better: dict[Token, str] = {}

    def resolve(self) -> Concepts:
        made: dict[str, Concept] = {}
        unknown = 0
        for at, token in enumerate(self.words):
            lead = token.word.terms[0]
            if lead in made:
                continue
            last = self.typing and token is self.reading.words[-1]
            ways = self._ways(at, token, last=last)
            if not ways and unknown < _MOST_UNKNOWN:
                unknown += 1
                ways = self._near(token)
            made[lead] = self._concept(at, token, ways)
        return Concepts(
            tuple(self._weighty(list(made.values()))), _concerns(self.meant, self.spotted), self._did_you_mean()
        )

    def _ways(self, at: int, token: Token, *, last: bool) -> list[Way]:
        own = [Way(terms, weight) for terms, weight in _own(token) if self._has(terms)]
        if last:
            own += self._prefixed(token)
        own += [
            Way(other.terms, weights.TRADE_NAME / (other.end - other.start), "trade_words", other.label)
            for other in self.others
            if other.start <= at < other.end and self._has(other.terms)
        ]
        own += [
            Way(
                (),
                weights.SAYING / meaning.among / (meaning.end - meaning.start),
                "saying",
                meaning.symptom,
                mark("symptom", meaning.symptom),
            )
            for meaning in self.meant
            if meaning.start <= at < meaning.end
        ]
        own += [
            Way(
                (),
                weights.DESCRIBED * one.weight / len(one.places),
                "saying",
                one.concern,
                mark("symptom", one.concern),
            )
            for one in self.spots.get(token, ())
        ]
        return own

    def _has(self, terms: tuple[str, ...]) -> bool:
        return all(self.view.frequency(term) for term in terms)

    def _prefixed(self, token: Token) -> list[Way]:
        prefix = token.word.plain[0]
        most = 64 if len(prefix) > 2 else 24
        stems = dict.fromkeys(stem(word) for word, _ in expansions(self.view.lexicons, prefix, most))
        return [Way((term,), _PREFIX) for term in stems if term != token.word.terms[0]]

    def _near(self, token: Token) -> list[Way]:
        word = token.word.plain[0]
        if len(word) < 4 or not word.isalpha():
            return []
        slips = 1 if len(word) < 8 else 2
        found = near_words(self.view.lexicons, word, slips)[:12]
        if not found:
            return []
        found.sort(key=lambda item: (item[1], item[0] not in FORMS, -item[2]))  # trade words before rare words
        self.better[token] = found[0][0]
        return [
            Way((stem(spelling),), _SPELLING / (1 + 0.5 * (distance - 1)), "spelling", spelling)
            for spelling, distance, _ in found[:4]
        ]

    def _concept(self, at: int, token: Token, ways: list[Way]) -> Concept:
        frequency = max(
            (self.view.frequency(way.terms[0]) for way in ways if way.terms and way.weight >= 0.4), default=0
        )
        label = self.reading.text[token.start : token.end]
        known = bool(ways)
        weight = self.view.idf(frequency) if known else 0.0
        named = at in self.vehicle or (not known and self._is_name(token))
        return Concept(label, tuple(ways), max(weight, 0.3), token.word.light, named, known)

    def _is_name(self, token: Token) -> bool:
        """Returns whether a word is written like a name among small letters: a make or family new to the book."""
        text = self.reading.text
        return token.start > 0 and text[token.start].isupper() and not text[token.start : token.end].isupper()

    def _weighty(self, concepts: list[Concept]) -> list[Concept]:
        """Keeps the concepts that tell most, and weighs an unknown word like an average one."""
        known = [concept.weight for concept in concepts if concept.known and not concept.light]
        average = sum(known) / len(known) if known else 1.0
        weighed = [
            concept
            if concept.known
            else Concept(concept.label, (), average, concept.light, concept.vehicle, known=False)
            for concept in concepts
        ]
        if len(weighed) <= MOST_CONCEPTS:
            return weighed
        weighed = [concept for concept in weighed if concept.known]
        kept = sorted(weighed, key=lambda concept: (concept.light, -concept.weight))[:MOST_CONCEPTS]
        return [concept for concept in weighed if concept in kept]

    def _did_you_mean(self) -> str:
        if not self.better:
            return ""
        text, pieces, at = self.reading.text, [], 0
        for token, better in sorted(self.better.items()):
            pieces += [text[at : token.start], better]
            at = token.end
        return "".join((*pieces, text[at:])).strip()


def _own(token: Token) -> list[tuple[tuple[str, ...], float]]:
    lead, *parts = token.word.terms
    negated = next((term for term in token.extra if term.startswith(NOT)), None)
    if negated:
        return [((negated,), 1.0), ((lead,), _PLAIN_OF_NEGATED)]
    ways: list[tuple[tuple[str, ...], float]] = [((lead,), 1.0)]
    if parts:
        ways.append((tuple(parts), 0.9))
    return ways


def _spots(words: Sequence[Token], spotted: Sequence[Spotted]) -> dict[Token, list[Spotted]]:
    found: dict[Token, list[Spotted]] = {}
    for one in spotted:
        for at in one.places:
            found.setdefault(words[at], []).append(one)
    return found


def _concerns(meant: Sequence[Meaning], spotted: Sequence[Spotted]) -> dict[str, float]:
    found: dict[str, float] = {}
    for meaning in meant:
        found[meaning.symptom] = max(found.get(meaning.symptom, 0.0), weights.SAYING / meaning.among)
    for one in spotted:
        found[one.concern] = max(found.get(one.concern, 0.0), weights.DESCRIBED * one.weight)
    return found


def resolve(view: View, reading: Reading, names: VehicleNames, own: Table = NO_TERMS, *, typing: bool) -> Concepts:
    """Returns a question's words as concepts of a view; ``own`` are the shop's terms."""
    return _Resolver(view, reading, names, own, typing=typing).resolve()


__all__ = ["LIGHT", "Concept", "Concepts", "OtherName", "Way", "resolve"]
