"""One unchanging view of the index: every segment at one moment, deleted documents masked, as arrays over documents.

A question is answered from one view; a commit makes a new one and leaves this one to the questions that hold it.
"""

import re
from collections.abc import Sequence
from functools import partial
from math import log
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from kbapp.lookup.cache import ArrayCache
from kbapp.lookup.columns import LISTED, MANY_VALUED, SINGLE, Columns, Vocabulary
from kbapp.lookup.lexicon import Lexicon
from kbapp.lookup.postings import LENGTHS, NOTHING, Postings, Segment

Documents = NDArray[np.intp]
"""Numbers of documents, as wide as an address: numpy would widen narrower ones anew at every use, at a high cost."""
Scores = NDArray[np.float64]
Mask = NDArray[np.bool_]

B: Final = 0.45
"""BM25F: how much a long case is held against it (0 not at all, 1 fully)."""
K1: Final = 4.0
"""BM25F: how soon a word's weight saturates; above the usual 1.2 because a word in the concern weighs 4 to begin
with."""
SCORE_BYTES: Final = 96 << 20
_NO_SCORES: Final = (np.empty(0, dtype=np.intp), np.empty(0, dtype=np.float64))


class Part:
    """A segment with what is decoded of it once: columns, lexicon, lengths, days."""

    def __init__(self, segment: Segment, vocabulary: Vocabulary) -> None:
        self.segment = segment
        self.columns = Columns(segment, vocabulary)
        self.lexicon = Lexicon(segment)
        self.lengths = segment.lengths()
        self.days = segment.days()


class View:
    """Reads postings, facts and columns over all documents; documents are numbered through the segments in order."""

    def __init__(
        self,
        parts: Sequence[Part],
        deleted: Sequence[Sequence[int]],
        vocabulary: Vocabulary,
        postings: ArrayCache[Postings],
    ) -> None:
        self.parts = tuple(parts)
        self.vocabulary = vocabulary
        self._postings = postings
        counts = [part.segment.count for part in parts]
        self.bases = np.concatenate(([0], np.cumsum(counts, dtype=np.int64))) if counts else np.zeros(1, dtype=np.int64)
        self.size = int(self.bases[-1])
        self.live: Mask = np.ones(self.size, dtype=np.bool_)
        for base, gone in zip(self.bases.tolist(), deleted, strict=False):
            if len(gone):
                self.live[np.asarray(gone, dtype=np.int64) + base] = False
        self.count = int(np.count_nonzero(self.live))
        self.lexicons = tuple(part.lexicon for part in parts)
        self.days = _joined([part.days for part in parts])
        self.single = {kind: _joined([part.columns.single[kind] for part in parts]).astype(np.intp) for kind in SINGLE}
        self.pairs = {kind: self._joined_pairs(kind) for kind in MANY_VALUED}
        self.starts = {
            kind: np.searchsorted(of, np.arange(self.size + 1, dtype=of.dtype)) for kind, (of, _) in self.pairs.items()
        }
        self.listed = {kind: {number for part in parts for number in part.columns.listed[kind]} for kind in LISTED}
        total = sum(part.segment.length_total() for part in parts)
        self._average = total / (self.size or 1) or 1
        lengths = LENGTHS[_joined([part.lengths for part in parts])]
        # The same operations in the same order as whoosh.scoring.bm25, so that the last digit agrees.
        self._norm: Scores = K1 * ((1 - B) + B * lengths / self._average)
        self._said: dict[tuple[int, str], bool] = {}
        self._scores: ArrayCache[tuple[Documents, Scores]] = ArrayCache(
            SCORE_BYTES, lambda pair: pair[0].nbytes + pair[1].nbytes
        )

    def _joined_pairs(self, kind: str) -> tuple[Documents, Documents]:
        documents, numbers = [], []
        for base, part in zip(self.bases.tolist(), self.parts, strict=False):
            ids, values = part.columns.pairs[kind]
            documents.append(ids.astype(np.intp) + base)
            numbers.append(values.astype(np.intp))
        return _joined(documents), _joined(numbers)

    def postings(self, field: str, term: str) -> Postings:
        """Returns all postings of a term over the whole view, deleted documents included."""
        found: list[Postings] = []
        for base, part in zip(self.bases.tolist(), self.parts, strict=False):
            segment = part.segment
            here = self._postings.get((segment.id, field, term), partial(segment.postings, field, term))
            if len(here.ids):
                found.append(here if base == 0 else Postings(here.ids + np.int32(base), here.weights))
        if not found:
            return NOTHING
        if len(found) == 1:
            return found[0]
        return Postings(np.concatenate([one.ids for one in found]), np.concatenate([one.weights for one in found]))

    def facts(self, term: str) -> Documents:
        """Returns the documents that carry a structured fact."""
        return self.postings("mark", term).ids.astype(np.intp)

    def frequency(self, term: str) -> int:
        """Returns how many documents have a word, deleted ones included (as Whoosh counts)."""
        return len(self.postings("text", term).ids)

    def idf(self, frequency: int) -> float:
        """Returns Whoosh's inverse document frequency."""
        return log((self.size or 1) / (frequency + 1)) + 1

    def scores(self, term: str) -> tuple[Documents, Scores]:
        """Returns the documents of a word and its BM25F score in each, equal to Whoosh's own."""
        return self._scores.get(term, lambda: self._score(term))

    def _score(self, term: str) -> tuple[Documents, Scores]:
        ids, weights = self.postings("text", term)
        if not len(ids):
            return _NO_SCORES
        documents = ids.astype(np.intp)
        weight = weights.astype(np.float64)
        return documents, self.idf(len(ids)) * ((weight * (K1 + 1)) / (weight + self._norm[documents]))

    def card(self, document: int) -> dict[str, Any]:
        """Returns what is shown of a document."""
        at = int(np.searchsorted(self.bases, document, side="right")) - 1
        return self.parts[at].segment.card(document - int(self.bases[at]))

    def says(self, document: int, phrase: re.Pattern[str]) -> bool:
        """Returns whether a document's texts have a quoted phrase."""
        key = (document, phrase.pattern)
        if key not in self._said:
            self._said[key] = any(phrase.search(text) for text in self.card(document)["texts"].values())
        return self._said[key]

    def find(self, case_id: str) -> list[int]:
        """Returns the live documents of a case: one, or none."""
        return [at for at in self.postings("id", case_id).ids.tolist() if self.live[at]]


def _joined(arrays: Sequence[NDArray[Any]]) -> NDArray[Any]:
    if not arrays:
        return np.empty(0, dtype=np.int32)
    return arrays[0] if len(arrays) == 1 else np.concatenate(arrays)
