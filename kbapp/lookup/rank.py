"""Ranks the matching cases. A score is the sum of named parts, and each part is an array over the matches."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from kbapp.lookup.arrays import contenders
from kbapp.lookup.concepts import Concept
from kbapp.lookup.likeness import Likeness
from kbapp.lookup.marks import SIGNED
from kbapp.lookup.match import WordMatch
from kbapp.lookup.question import Reason
from kbapp.lookup.view import Documents, Scores, View

PROVED: Final = 0.10
"""What a repair proved here adds, as a share of the rest: enough to decide between equal matches, no more."""
PROVED_ELSEWHERE: Final = 0.06
REPAIRED: Final = 0.03
_HELD_BACK: Final = ("came_back", "withdrawn")
_HOLD: Final = 0.5
_BEHIND: Final = 0.9
_DIGITS: Final = 4


@dataclass(frozen=True, slots=True)
class Ranked:
    """One of the best documents with the reasons for its place."""

    document: int
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class _Sums:
    """The score over the matches, with what proof adds and what is held back."""

    proof: Scores
    held: Scores
    total: Scores


def rank(view: View, documents: Documents, words: WordMatch, parts: Sequence[Likeness], limit: int) -> list[Ranked]:
    """Returns the best ``limit`` of the matching documents, best first."""
    sums = _add_up(view, documents, words, parts)
    top = _top(view, documents, sums.total, limit)
    each = words.each(documents[top], view.size)
    found = [
        Ranked(
            int(documents[at]),
            _reasons(view, int(documents[at]), words, [float(values[place]) for values in each], parts, sums, at),
        )
        for place, at in enumerate(top)
    ]
    # what is shown is rounded: two that are equal but for a hair stand in the order of what is shown
    return sorted(found, key=lambda one: -round(sum(reason.value for reason in one.reasons), _DIGITS))


def _add_up(view: View, documents: Documents, words: WordMatch, parts: Sequence[Likeness]) -> _Sums:
    total = words.score(view.size)[documents] if words.met else np.zeros(len(documents))
    for part in parts:
        total = total + part.values[documents]
    proof = _proof(view, documents, total)
    held = _held_back(view, documents, total + proof)
    return _Sums(proof, held, total + proof + held)


def _proof(view: View, documents: Documents, total: Scores) -> Scores:
    states = view.vocabulary.values("state")
    share = np.array([{"proved": PROVED_ELSEWHERE, "repaired": REPAIRED}.get(state, 0.0) for state in states])
    numbers = view.single["state"][documents]
    factor = share[numbers]
    if "proved" in states:
        here = (view.single[SIGNED][documents] > 0) & (numbers == states.index("proved"))
        factor[here] = PROVED
    added: Scores = factor * np.maximum(total, 0.0)
    return added


def _held_back(view: View, documents: Documents, total: Scores) -> Scores:
    """Returns what came-back and withdrawn cases lose: half, and at least so much that none of them leads."""
    states = view.vocabulary.values("state")
    numbers = [number for number, state in enumerate(states) if state in _HELD_BACK]
    held = np.isin(view.single["state"][documents], numbers)
    loss = np.zeros(len(documents))
    if not held.any() or not total.any():
        return loss
    mine = total[held]
    keep = np.where(mine > 0, mine * (1 - _HOLD), mine)
    if not held.all():
        best = float(total[~held].max())
        keep = np.minimum(keep, _BEHIND * best if best > 0 else best - 1.0)
    loss[held] = keep - mine
    return loss


def _top(view: View, documents: Documents, total: Scores, limit: int) -> list[int]:
    """Returns the places of the best documents: by score, then newest, then last written."""
    if limit <= 0 or not len(documents):
        return []
    pool = contenders(total, limit)
    score = np.round(total[pool], _DIGITS)
    order = np.lexsort((-documents[pool], -view.days[documents[pool]], -score))
    return [int(at) for at in pool[order][:limit].tolist()]


def _reasons(
    view: View,
    document: int,
    words: WordMatch,
    each: Sequence[float],
    parts: Sequence[Likeness],
    sums: _Sums,
    at: int,
) -> tuple[Reason, ...]:
    reasons = _word_reasons(words, each)
    for part in parts:
        if part.values[document]:
            reasons.append(Reason(part.name, float(part.values[document]), part.detail(document)))
    state = view.vocabulary.values("state")[int(view.single["state"][document])]
    reasons += [Reason("proof", float(sums.proof[at]), state), Reason(state, float(sums.held[at]))]
    rounded = [Reason(one.name, round(one.value, _DIGITS), one.detail) for one in reasons]
    return tuple(sorted((one for one in rounded if one.value), key=lambda one: (-abs(one.value), one.name)))


def _word_reasons(words: WordMatch, values: Sequence[float]) -> list[Reason]:
    """Returns what the words add, by how they were met: as they stand, by another trade name, by a near spelling."""
    met: dict[str, list[tuple[float, str]]] = {}
    for one, value in zip(words.met, values, strict=True):
        if value:
            name, label = _way_met(one.concept)
            met.setdefault(name, []).append((value, label))
    return [
        Reason(name, sum(value for value, _ in found), ", ".join(label for _, label in sorted(found, reverse=True)))
        for name, found in met.items()
    ]


def _way_met(concept: Concept) -> tuple[str, str]:
    way = concept.ways[0]
    return way.reason, way.label or concept.label
