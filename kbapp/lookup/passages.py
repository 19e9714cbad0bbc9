"""The stretches of a case that matched: stem-aware, so that *sinks* is marked for *sinking*."""

import re
from collections.abc import Mapping, Sequence
from typing import Final

from kbapp.lookup.document import FIELD_WEIGHTS
from kbapp.lookup.question import Passage
from kbapp.lookup.words import tokens

LEADING: Final = ("concern", "cause")
LONGEST: Final = 240
_SCANNED: Final = 4000
_EDGE: Final = 40

Span = tuple[int, int]


def passages(
    texts: Mapping[str, str], terms: frozenset[str], phrases: Sequence[re.Pattern[str]]
) -> tuple[Passage, ...]:
    """Returns concern and cause with the matches marked, and the best of the other fields where it says more."""
    leading = [(name, texts.get(name, ""), spans_of(texts.get(name, ""), terms, phrases)) for name in LEADING]
    shown = [_passage(name, text, spans) for name, text, spans in leading if text]
    told = {text[start:end].casefold() for _, text, spans in leading for start, end in spans}
    best = _best_other(texts, terms, phrases, told)
    return tuple([*shown, best] if best else shown)


def spans_of(text: str, terms: frozenset[str], phrases: Sequence[re.Pattern[str]]) -> list[Span]:
    """Returns where a text has one of the terms or phrases; spans do not overlap."""
    text = text[:_SCANNED]
    found = [
        (token.start, token.end)
        for token in tokens(text)
        if not terms.isdisjoint(token.word.terms) and not token.word.stop
    ]  # fmt: skip
    for phrase in phrases:
        found += [match.span() for match in phrase.finditer(text)]
    return _merged(found)


def _merged(spans: list[Span]) -> list[Span]:
    merged: list[Span] = []
    for start, end in sorted(spans):
        if merged and start < merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged


def _best_other(
    texts: Mapping[str, str], terms: frozenset[str], phrases: Sequence[re.Pattern[str]], told: set[str]
) -> Passage | None:
    best: tuple[float, str, str, list[Span]] | None = None
    for name, text in texts.items():
        if name in LEADING or name == "number":
            continue
        spans = spans_of(text, terms, phrases)
        words = {text[start:end].casefold() for start, end in spans}
        value = len(words - told) + 0.1 * len(words) + 0.01 * FIELD_WEIGHTS[name]
        if spans and (best is None or value > best[0]):
            best = (value, name, text, spans)
    return _passage(*best[1:]) if best else None


def _passage(name: str, text: str, spans: list[Span]) -> Passage:
    """Cuts a long text around the densest matches; spans count from the start of what is left."""
    if len(text) <= LONGEST:
        return Passage(name, text, tuple(spans))
    start = _window(spans)
    while start > 0 and not text[start - 1].isspace():
        start -= 1
    end = min(len(text), start + LONGEST)
    while end < len(text) and end > start + LONGEST - _EDGE and not text[end].isspace():
        end -= 1
    inside = tuple((a - start, b - start) for a, b in spans if a >= start and b <= end)
    return Passage(name, text[start:end], inside)


def _window(spans: list[Span]) -> int:
    if not spans or spans[0][1] < LONGEST - _EDGE:
        return 0
    densest = max(spans, key=lambda span: (sum(span[0] <= a < span[0] + LONGEST - _EDGE for a, _ in spans), -span[0]))
    return max(0, densest[0] - _EDGE)
