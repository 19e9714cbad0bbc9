"""Which cases an answer lists and counts.

With words, the rule of ``kbapp.lookup.match``. Quoted words must stand as quoted. When fewer than ten cases of the
whole book match fully, cases that meet a third of the share, or whose concern or trouble code is kin to one asked
for, are listed too. Otherwise structured parts only rank; but of a long text (more than seven content words: an open
case, a pasted scan report) a case with the same trouble code or concern matches too. Without words, cases that are
like the question in its structured parts. With nothing but narrowings, all that they keep. A case's own number or id
always finds it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from kbapp.errors import Cancelled
from kbapp.lookup import facets
from kbapp.lookup.likeness import Likeness
from kbapp.lookup.marks import mark
from kbapp.lookup.match import WordMatch, without
from kbapp.lookup.understand import Asked
from kbapp.lookup.view import Documents, Mask, View

ENOUGH: Final = 10
"""Full matches of the whole book below which partial ones are listed too (before narrowing, so that facet counts
hold)."""
LONG: Final = 7
"""Content words above which a text is long."""
_KIN_VEHICLE: Final = 0.5
_CHECK_EVERY: Final = 64


@dataclass(frozen=True, slots=True)
class Selected:
    """Matching live documents, ascending and as a mask; ``full`` is how many match fully."""

    documents: Documents
    mask: Mask
    full: int


def select(view: View, asked: Asked, words: WordMatch, parts: Sequence[Likeness], stop: Callable[[], bool]) -> Selected:
    """Returns the documents an answer lists and counts.

    Raises:
        Cancelled: ``stop`` was true.
        InputError: ``facet_unknown``.
    """
    full, chosen = _worded(view, asked, words, parts) if words.met else _wordless(view, asked, parts)
    numbered = _alike(view, parts, "number") & view.live
    full, chosen = full | numbered, chosen | numbered
    mask = chosen & facets.narrowed(view, asked.question.narrow)
    if asked.question.not_case:
        mask[view.find(asked.question.not_case)] = False
    if asked.reading.phrases:
        _keep_quoted(view, asked, mask, stop)
    return Selected(np.flatnonzero(mask), mask, int(np.count_nonzero(mask & full)))


def _worded(view: View, asked: Asked, words: WordMatch, parts: Sequence[Likeness]) -> tuple[Mask, Mask]:
    full = words.full & view.live
    if words.content > LONG:
        full |= _same_facts(view, asked)
    if np.count_nonzero(full) >= ENOUGH:
        return full, full
    return full, full | ((words.partial | _alike(view, parts, "symptom", "code")) & view.live)


def _same_facts(view: View, asked: Asked) -> Mask:
    """Returns the live documents that carry a concern or code that is asked for or named."""
    mask = np.zeros(view.size, dtype=np.bool_)
    for term in (*(mark("symptom", one) for one in asked.told), *(mark("code", one) for one in asked.codes)):
        mask[view.facts(term)] = True
    return mask & view.live


def _wordless(view: View, asked: Asked, parts: Sequence[Likeness]) -> tuple[Mask, Mask]:
    if asked.only_narrowed:
        return view.live, view.live
    found = _alike(view, parts, "symptom", "code", "evidence", "part_tried")
    found |= _alike(view, parts, "evidence_against", "tried_was_cause", below=True)
    if not found.any():
        found = _alike(view, parts, "system")
    if not found.any():
        near = asked.vehicle.family or asked.vehicle.engine
        found = _alike(view, parts, "vehicle", least=_KIN_VEHICLE if near else 0.0)
    found &= view.live
    return found, found


def _alike(view: View, parts: Sequence[Likeness], *names: str, least: float = 0.0, below: bool = False) -> Mask:
    mask = np.zeros(view.size, dtype=np.bool_)
    for part in parts:
        if part.name in names:
            mask |= part.values < -least if below else part.values > least
    return mask


def _keep_quoted(view: View, asked: Asked, mask: Mask, stop: Callable[[], bool]) -> None:
    """Drops from ``mask`` the documents that lack a quoted phrase; the view remembers what it looked up."""
    for at, document in enumerate(np.flatnonzero(mask).tolist()):
        if at % _CHECK_EVERY == 0 and stop():
            raise Cancelled
        mask[document] = all(view.says(document, phrase) for phrase in asked.reading.phrases)


def loosen(view: View, asked: Asked, words: WordMatch) -> tuple[str, ...]:
    """Returns the narrowings (by field) and words whose removal, one at a time, would find full matches."""
    narrow = asked.question.narrow
    full = words.full if words.met else view.live
    found = [
        one.field
        for at, one in enumerate(narrow)
        if (full & facets.narrowed(view, (*narrow[:at], *narrow[at + 1 :]))).any()
    ]
    if len(words.required) > 1:
        kept = facets.narrowed(view, narrow)
        found += [one.concept.label for one in words.required[:8] if (without(view, words.required, one) & kept).any()]
    return tuple(found)
