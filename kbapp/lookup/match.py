"""Which cases meet a question's words, and how well.

The rule, so that counts mean something. A case *fully* matches when it meets all of one or two content words; two
thirds of three, 60 % of four, half of five to seven, a third of more — each word weighed by how rare it is in the
book. Light words (``no``, ``left``, ``when``) and vehicle names only rank, unless nothing else is asked.
``kbapp.lookup.select`` says what matches beside that.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from kbapp.errors import Cancelled
from kbapp.lookup import weights
from kbapp.lookup.arrays import values_at
from kbapp.lookup.concepts import LIGHT, Concept, Way
from kbapp.lookup.view import K1, Documents, Mask, Scores, View

_SHARES: Final = {1: 1.0, 2: 1.0, 3: 0.66, 4: 0.6, 5: 0.5, 6: 0.5, 7: 0.5}
_LONG_SHARE: Final = 0.34
_PARTIAL: Final = 0.3
_LEAST_PARTIAL: Final = 0.1
_FACT: Final = 3.0
_MOST_TELLING: Final = 8


@dataclass(frozen=True, slots=True)
class Met:
    """The documents that meet one concept, ascending, and how well; ``strength`` is what it counts in the sum."""

    concept: Concept
    ids: Documents
    scores: Scores
    strength: float = 1.0


@dataclass(frozen=True, slots=True)
class WordMatch:
    """What the words alone say: which documents match fully and in part; ``required`` are the concepts that decide."""

    met: tuple[Met, ...]
    required: tuple[Met, ...]
    full: Mask
    partial: Mask
    content: int

    @property
    def _scale(self) -> float:
        best = sum(one.strength * one.concept.weight * (K1 + 1) for one in self.met)
        return weights.WORDS / best if best else 0.0

    def score(self, size: int) -> Scores:
        """Returns the words' value over all documents."""
        total = np.zeros(size)
        for one in self.met:
            if one.strength:
                np.add.at(total, one.ids, one.scores if one.strength == 1.0 else one.strength * one.scores)
        total *= self._scale
        return total

    def each(self, documents: Documents, size: int) -> list[Scores]:
        """Returns what each concept of ``met`` adds for some documents, in any order."""
        order = np.argsort(documents)
        back = np.empty_like(order)
        back[order] = np.arange(len(order))
        found = (values_at(documents[order], one.ids, one.scores, size)[back] for one in self.met)
        return [values * (one.strength * self._scale) for one, values in zip(self.met, found, strict=True)]


def share_of(count: int) -> float:
    """Returns the share of the words' weight a case must meet, for a number of content words."""
    return _SHARES.get(count, _LONG_SHARE)


def match_words(view: View, concepts: Sequence[Concept], stop: Callable[[], bool]) -> WordMatch:
    """Returns which documents meet the words, deleted ones included.

    Raises:
        Cancelled: ``stop`` was true.
    """
    deciding = _deciding(concepts)
    met = []
    for concept in concepts:
        if stop():
            raise Cancelled
        decides = concept in deciding
        # a vehicle's kinship ranks instead of its name, so that a name does not swamp the concern
        strength = 1.0 if decides else 0.0 if concept.vehicle else LIGHT
        met.append(Met(concept, *_meet(view, concept), strength))
    required = [one for one in met if one.concept in deciding]
    full, partial = _covered(view, required)
    return WordMatch(tuple(met), tuple(required), full, partial, len(required))


def words_alone(view: View, concepts: Sequence[Concept]) -> Scores:
    """Returns how well all documents meet the telling ones of some words, from 0 to 1, whatever matches."""
    telling = sorted((one for one in concepts if not one.light), key=lambda one: -one.weight)[:_MOST_TELLING]
    best = sum(concept.weight * (K1 + 1) for concept in telling)
    score = np.zeros(view.size)
    for concept in telling:
        ids, values = _meet(view, concept)
        np.add.at(score, ids, values)
    return score / best if best else score


def _deciding(concepts: Sequence[Concept]) -> list[Concept]:
    """Returns the concepts that decide what matches: content words, else vehicle names, else light words."""
    content = [one for one in concepts if not one.light and not one.vehicle]
    return content or [one for one in concepts if not one.light] or list(concepts)


def _covered(view: View, required: Sequence[Met]) -> tuple[Mask, Mask]:
    """Returns which documents meet the share; weights count in hundredths, as small numbers are quick to add up."""
    weights = [max(1, round(100 * one.concept.weight)) for one in required]
    cover = np.zeros(view.size, dtype=np.uint16)
    for one, weight in zip(required, weights, strict=True):
        np.add.at(cover, one.ids, np.uint16(weight))
    share = share_of(len(required))
    some = max(_PARTIAL * share, _LEAST_PARTIAL)
    return cover >= math.ceil(share * sum(weights)), cover >= math.ceil(some * sum(weights))


def without(view: View, required: Sequence[Met], dropped: Met) -> Mask:
    """Returns which documents would match fully if one concept were not asked."""
    return _covered(view, [one for one in required if one is not dropped])[0]


def _meet(view: View, concept: Concept) -> tuple[Documents, Scores]:
    found = [pair for pair in (_one_way(view, concept, way) for way in concept.ways) if len(pair[0])]
    if not found:
        return np.empty(0, dtype=np.intp), np.zeros(0)
    if len(found) == 1:
        return found[0]
    found.sort(key=lambda pair: -len(pair[0]))
    best = np.zeros(view.size)
    best[found[0][0]] = found[0][1]
    for ids, scores in found[1:]:
        np.maximum.at(best, ids, scores)
    ids = np.flatnonzero(best)
    return ids, best[ids]


def _one_way(view: View, concept: Concept, way: Way) -> tuple[Documents, NDArray[np.float64]]:
    if way.fact:
        ids = view.facts(way.fact)
        return ids, np.full(len(ids), way.weight * concept.weight * _FACT)
    ids, scores = view.scores(way.terms[0])
    for term in way.terms[1:]:
        more = values_at(ids, *view.scores(term), view.size)
        both = more > 0
        ids, scores = ids[both], scores[both] + more[both]
    factor = way.weight / len(way.terms)
    return ids, scores if factor == 1.0 else scores * factor
