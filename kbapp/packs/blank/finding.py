"""Joins all finders: returns the places of a text that have to go, without overlaps."""

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Final, Literal

from kbapp.packs.blank.listed import Listed
from kbapp.packs.blank.people import find_addresses, find_capitals, find_people
from kbapp.packs.blank.phones import find_phones
from kbapp.packs.blank.plates import find_plates
from kbapp.packs.blank.removal import Span
from kbapp.packs.blank.texts import find_dates, find_distances, find_emails, find_orders, find_vin_spans

Care = Literal["running", "term", "file"]
"""How a text is searched: running text for everything; a term (ids, vehicle, part numbers) for listed values, e-mail
addresses and VINs only; a file of figures like running text, but its dates and distances stay."""

Finder = Callable[[str], Iterator[Span]]

_EMAIL: Final[tuple[Finder, ...]] = (find_emails,)
_PEOPLE: Final[tuple[Finder, ...]] = (find_people,)
# Nothing these find is without a figure: most texts of a case have none.
_VINS: Final[tuple[Finder, ...]] = (find_vin_spans,)
_FIGURES: Final[tuple[Finder, ...]] = (find_orders, find_phones, find_plates, find_addresses)
_COARSE: Final[tuple[Finder, ...]] = (find_dates, find_distances)
_ROUNDS: Final = 5
_DIGIT: Final = re.compile(r"\d")


def _finders(care: Care, *, figures: bool) -> tuple[Finder, ...]:
    if care == "term":
        return (*_EMAIL, *_VINS) if figures else _EMAIL
    if not figures:
        return (*_EMAIL, *_PEOPLE)
    coarse = _COARSE if care == "running" else ()
    return (*_EMAIL, *_VINS, *_FIGURES, *_PEOPLE, *coarse)


def find_spans(text: str, listed: Listed, care: Care) -> tuple[Span, ...]:
    """Returns the spans to remove, in the order of the text."""
    finders = _finders(care, figures=bool(_DIGIT.search(text)))
    spans = [*listed.find(text)]
    for finder in finders:
        spans += finder(text)
    if care == "running":
        spans += find_capitals(text, listed.known)
    return _apart(spans) if spans else ()


def _apart(spans: Iterable[Span]) -> tuple[Span, ...]:
    """Returns spans that do not overlap: of two the longer stays, widened to the other; of equals the first found."""
    out: list[Span] = []
    for span in sorted(spans, key=lambda one: (one.start, one.start - one.end)):
        if out and span.start < out[-1].end:
            longer = max(out[-1], span, key=lambda one: one.end - one.start)
            out[-1] = Span(out[-1].start, max(out[-1].end, span.end), longer.kind, longer.put)
        else:
            out.append(span)
    return tuple(out)


def without(text: str, spans: Iterable[Span]) -> str:
    """Returns a text with the spans replaced."""
    out, at = [], 0
    for span in spans:
        out += [text[at : span.start], span.put]
        at = span.end
    return "".join([*out, text[at:]])


def blanked(text: str, listed: Listed, care: Care, keep: Callable[[str, Span], bool]) -> str:
    """Returns a text without what has to go; ``keep`` is asked for each span of the text it is given.

    What is left is searched again until nothing more is found: taking one thing out can bring another to light.
    """
    kept: set[tuple[str, str]] = set()
    for _ in range(_ROUNDS):
        spans = [one for one in find_spans(text, listed, care) if (one.kind, text[one.start : one.end]) not in kept]
        going = []
        for span in spans:
            if keep(text, span):
                kept.add((span.kind, text[span.start : span.end]))
            else:
                going.append(span)
        if not going:
            break
        text = without(text, going)
    return text
