"""The stretches of a case that matched: stem-aware, so that *sinks* is marked for *sinking*."""

import re
from collections.abc import Mapping, Sequence
from typing import Final

from kbapp.lookup.document import FIELD_WEIGHTS
from kbapp.lookup.question import Passage
from kbapp.lookup.words import WORD, read_word

LEADING: Final = ("concern", "cause")
LONGEST: Final = 240
_SCANNED: Final = 4000
_EDGE: Final = 40
_MOST_SPELLINGS: Final = 200_000

Span = tuple[int, int]


class Spellings:
    """Which raw spellings have which index term; each spelling is taken apart once, whatever is asked."""

    def __init__(self) -> None:
        self._seen: set[str] = set()
        self._by_term: dict[str, set[str]] = {}

    def learn(self, words: set[str]) -> None:
        """Takes spellings in."""
        new = words - self._seen
        if not new:
            return
        if len(self._seen) > _MOST_SPELLINGS:
            self._seen, self._by_term = set(), {}
            new = words
        for raw in new:
            word = read_word(raw)
            for term in () if word.stop else word.terms:
                self._by_term.setdefault(term, set()).add(raw)
        self._seen |= new

    def of(self, terms: frozenset[str]) -> set[str]:
        """Returns the spellings known so far of any of the terms."""
        return set().union(*(self._by_term.get(term, ()) for term in terms))


class Quoter:
    """Quotes cases for one question."""

    def __init__(self, terms: frozenset[str], phrases: Sequence[re.Pattern[str]], spellings: Spellings) -> None:
        self._terms = terms
        self._phrases = phrases
        self._spellings = spellings
        self._hits: set[str] = set()

    def quote(self, cases: Sequence[Mapping[str, str]]) -> list[tuple[Passage, ...]]:
        """Returns for each case concern and cause with the matches marked, and the best other field that matched."""
        words = [{name: set(WORD.findall(text[:_SCANNED])) for name, text in texts.items()} for texts in cases]
        self._spellings.learn(set().union(*(found for fields in words for found in fields.values())))
        self._hits = self._spellings.of(self._terms)
        return [self._quoted(texts, fields) for texts, fields in zip(cases, words, strict=True)]

    def _quoted(self, texts: Mapping[str, str], words: Mapping[str, set[str]]) -> tuple[Passage, ...]:
        names = [name for name in LEADING if texts.get(name)]
        told = {raw.casefold() for name in names for raw in words[name] & self._hits}
        best = self._best_other(words, told)
        return tuple(_passage(name, texts[name], self._spans(texts[name])) for name in (*names, *best))

    def _spans(self, text: str) -> list[Span]:
        """Returns where a text has one of the terms or phrases; spans do not overlap."""
        text = text[:_SCANNED]
        found = [match.span() for match in WORD.finditer(text) if match.group() in self._hits]
        for phrase in self._phrases:
            found += [match.span() for match in phrase.finditer(text)]
        return _merged(found)

    def _best_other(self, words: Mapping[str, set[str]], told: set[str]) -> tuple[str, ...]:
        """Returns the field that says most beyond concern and cause, if any says something."""
        best, most = "", 0.0
        for name, found in words.items():
            if name in LEADING or name == "number":
                continue
            hits = found & self._hits
            if not hits:
                continue
            lowered = {raw.casefold() for raw in hits}
            value = len(lowered - told) + 0.1 * len(lowered) + 0.01 * FIELD_WEIGHTS[name]
            if value > most:
                best, most = name, value
        return (best,) if best else ()


def _merged(spans: list[Span]) -> list[Span]:
    merged: list[Span] = []
    for start, end in sorted(spans):
        if merged and start < merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged


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
