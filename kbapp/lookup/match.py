"""Which cases match a question's words, and how well.

The rule, so that counts mean something. A case *fully* matches when it meets all of one or two content words; two thirds of
three, 60 % of four, half of five to seven, a third of more — each word weighed by how rare it is in the book. Light words
(``no``, ``left``, ``when``) and vehicle names only rank, unless nothing else is asked. Quoted words must stand as quoted. When
fewer than ten cases of the whole book match fully, cases that meet half of that share are listed after them. Structured parts
of a question only rank; but of a long text (more than seven content words: an open case, a pasted scan report) a case with the
same trouble code or symptom matches too.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from kbapp.errors import Cancelled
from kbapp.lookup.concepts import LIGHT, Concept, Way
from kbapp.lookup.postings import Ids
from kbapp.lookup.view import K1, Mask, Scores, View

ENOUGH: Final = 10
"""Full matches below which partial ones are listed too."""
LONG: Final = 7
WORDS: Final = 10.0
"""The value of a case that meets every word as strongly as can be."""
_SHARES: Final = {1: 1.0, 2: 1.0, 3: 0.66, 4: 0.6, 5: 0.5, 6: 0.5, 7: 0.5}
_LONG_SHARE: Final = 0.34
_NEARLY: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Met:
    """The documents that meet one concept, ascending, and how well."""

    concept: Concept
    ids: Ids
    scores: Scores


@dataclass(frozen=True, slots=True)
class WordMatch:
    """What the words alone say: ``score`` and ``full``/``partial`` over all documents; ``required`` are the concepts that decide."""

    met: tuple[Met, ...]
    required: tuple[Met, ...]
    score: Scores
    full: Mask
    partial: Mask
    content: int


def share_of(count: int) -> float:
    """Returns the share of the words' weight a case must meet, for a number of content words."""
    return _SHARES.get(count, _LONG_SHARE)


def match_words(view: View, concepts: Sequence[Concept], stop: Callable[[], bool]) -> WordMatch:
    """Returns which documents meet the words, deleted ones included.

    Raises:
        Cancelled: ``stop`` was true.
    """
    met = []
    for concept in concepts:
        if stop():
            raise Cancelled
        met.append(_meet(view, concept))
    content = [one for one in met if not one.concept.light and not one.concept.vehicle]
    required = content or [one for one in met if not one.concept.light] or met
    score = np.zeros(view.size, dtype=np.float64)
    best = 0.0
    for one in met:
        if one.concept.vehicle and one not in required:
            continue  # the vehicle's kinship ranks instead, so that a name does not swamp the concern
        strength = LIGHT if one.concept.light and one not in required else 1.0
        best += strength * one.concept.weight * (K1 + 1)
        score[one.ids] += strength * one.scores
    if best:
        score *= WORDS / best
    full, partial = _covered(view, required)
    return WordMatch(tuple(met), tuple(required), score, full, partial, len(content))


def _covered(view: View, required: Sequence[Met]) -> tuple[Mask, Mask]:
    cover = np.zeros(view.size, dtype=np.float64)
    for one in required:
        cover[one.ids] += one.concept.weight
    total = sum(one.concept.weight for one in required)
    need = share_of(len(required)) * total - _NEARLY
    some = max(0.5 * share_of(len(required)), 0.2) * total - _NEARLY
    return cover >= need, cover >= some


def without(view: View, required: Sequence[Met], dropped: Met) -> Mask:
    """Returns which documents would match fully if one concept were not asked."""
    return _covered(view, [one for one in required if one is not dropped])[0]


def _meet(view: View, concept: Concept) -> Met:
    if len(concept.ways) == 1:
        return Met(concept, *_one_way(view, concept, concept.ways[0]))
    best = np.zeros(view.size, dtype=np.float64)
    for way in concept.ways:
        ids, scores = _one_way(view, concept, way)
        best[ids] = np.maximum(best[ids], scores)
    ids = np.flatnonzero(best).astype(np.int32)
    return Met(concept, ids, best[ids])


def _one_way(view: View, concept: Concept, way: Way) -> tuple[Ids, NDArray[np.float64]]:
    if way.fact:
        ids = view.facts(way.fact)
        return ids, np.full(len(ids), way.weight * concept.weight * 3.0)
    ids, scores = view.scores(way.terms[0])
    for term in way.terms[1:]:
        other, more = view.scores(term)
        ids, here, there = np.intersect1d(ids, other, assume_unique=True, return_indices=True)
        scores = scores[here] + more[there]
    return ids, scores * (way.weight / len(way.terms))
