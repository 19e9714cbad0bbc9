"""Narrowing and counting: how many of the matching cases have each value of each facet."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from kbapp.errors import InputError
from kbapp.lookup.columns import MANY_VALUED
from kbapp.lookup.marks import mark
from kbapp.lookup.question import FACETS, FacetCount, Narrowing
from kbapp.lookup.view import Documents, Mask, View

MOST_VALUES: Final = 200
"""Values of one facet that are told, the most frequent first."""


def narrowed(view: View, narrow: Sequence[Narrowing]) -> Mask:
    """Returns the live documents that every narrowing keeps (any of its values; letter case ignored).

    Raises:
        InputError: ``facet_unknown``.
    """
    kept = view.live.copy()
    for one in narrow:
        kept &= _having(view, one)
    return kept


def _having(view: View, one: Narrowing) -> Mask:
    if one.field not in FACETS:
        raise InputError("facet_unknown", found=one.field, expected=", ".join(FACETS))
    wanted = {value.casefold() for value in one.values}
    mask = np.zeros(view.size, dtype=np.bool_)
    for value in view.vocabulary.values(one.field):
        if value and value.casefold() in wanted:
            mask[view.facts(mark(one.field, value))] = True
    return mask


def counts(
    view: View, documents: Documents, mask: Mask, kinds: Sequence[str] = FACETS
) -> dict[str, tuple[FacetCount, ...]]:
    """Returns the counts of facets over the matching documents, given as ids and as a mask."""
    return {kind: _counted(view, kind, documents, mask) for kind in kinds}


def _counted(view: View, kind: str, documents: Documents, mask: Mask) -> tuple[FacetCount, ...]:
    values = view.vocabulary.values(kind)
    totals = np.bincount(_numbers(view, kind, documents, mask), minlength=1)
    totals[0] = 0
    present = np.flatnonzero(totals)
    if len(present) > MOST_VALUES:
        present = present[np.argsort(-totals[present], kind="stable")[:MOST_VALUES]]
    pairs = zip((-totals[present]).tolist(), present.tolist(), strict=True)
    ranked = sorted((count, values[at]) for count, at in pairs)
    return tuple(FacetCount(value, -count) for count, value in ranked)


def _numbers(view: View, kind: str, documents: Documents, mask: Mask) -> Documents:
    if kind not in MANY_VALUED:
        return view.single[kind][documents]
    of, numbers = view.pairs[kind]
    return numbers[mask[of]] if len(documents) * 20 > view.size else _gathered(view, kind, documents)


def _gathered(view: View, kind: str, documents: Documents) -> Documents:
    """Returns the values of a few documents without a look at all the others."""
    _of, numbers = view.pairs[kind]
    starts, counts = view.starts[kind][documents], view.starts[kind][documents + 1] - view.starts[kind][documents]
    total = int(counts.sum())
    within = np.arange(total) - np.repeat(np.cumsum(counts) - counts, counts)
    gathered: Documents = numbers[np.repeat(starts, counts) + within]
    return gathered
