"""Trade text as words: tokens with their places, stems, negations, numbers with units.

The same function reads cases and questions, so that both sides always agree. Short and technical tokens are kept:
``CAN``, ``no``, ``4x4``, ``P0171`` and part numbers with hyphens all stay findable.
"""

import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from typing import Final, NamedTuple

from whoosh.lang.porter2 import stem as _porter

from kbapp.lookup.word_lists import FORMS, LIGHT_WORDS, NEGATIONS, STOP_WORDS, UNITS

NOT: Final = "¬"
"""Stands before the stem of a word that is negated (``does not crank`` gives ``¬crank`` beside ``crank``)."""

LONGEST_TERM: Final = 60

WORD: Final = re.compile(r"[^\W_]+(?:(?:[-./'’_:+]|(?<=[0-9]),(?=[0-9]))[^\W_]+)*")
_SEPARATOR = re.compile(r"[-./_:+,]")
_JOINED_UNIT = re.compile(r"([0-9]+(?:\.[0-9]+)?)([a-z%]+)")
_SENTENCE_END = re.compile(r"[.;!?\n]")
_IDEOGRAPHS = re.compile(r"[\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af]")


class Word(NamedTuple):
    """One spelling taken apart: ``plain`` spellings for the lexicon, ``terms`` for the index (the first one leads)."""

    plain: tuple[str, ...]
    terms: tuple[str, ...]
    light: bool
    stop: bool
    negates: bool


class Token(NamedTuple):
    """A word at its place in a text; ``extra`` terms come from its neighbours (negation, unit)."""

    start: int
    end: int
    word: Word
    extra: tuple[str, ...]


def normalize(raw: str) -> str:
    """Returns a word in one spelling: compatibility forms and letter case folded, accents dropped."""
    folded = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", raw).casefold())
    return "".join(char for char in folded if not unicodedata.combining(char))


@lru_cache(maxsize=100_000)
def stem(word: str) -> str:
    """Returns the stem of a normalised word; words with digits or of other scripts stay whole."""
    known = FORMS.get(word)
    if known is not None:
        return known
    if len(word) <= 2 or not (word.isascii() and word.isalpha()):
        return word[:LONGEST_TERM]
    return str(_porter(word))[:LONGEST_TERM]


@lru_cache(maxsize=100_000)
def read_word(raw: str) -> Word:
    """Returns one spelling taken apart into plain forms and index terms."""
    word = normalize(raw).replace("’", "'")
    if word.endswith("n't"):
        return Word(("not",), ("not",), light=True, stop=False, negates=True)
    word = word.removesuffix("'s").replace("'", "")
    if not word:
        return Word((), (), light=True, stop=True, negates=False)
    plain = _spellings(word[: 4 * LONGEST_TERM])
    terms = tuple(dict.fromkeys(stem(form) for form in plain))
    lead = plain[0]
    return Word(plain, terms, light=lead in LIGHT_WORDS, stop=lead in STOP_WORDS, negates=lead in NEGATIONS)


def _spellings(word: str) -> tuple[str, ...]:
    if any(char.isdigit() for char in word):
        return _technical(word)
    if _IDEOGRAPHS.search(word) and len(word) > 2:
        return (word[:LONGEST_TERM], *(word[at : at + 2] for at in range(len(word) - 1)))
    parts = [part for part in _SEPARATOR.split(word) if part]
    if len(parts) == 1:
        return (parts[0][:LONGEST_TERM],)
    return ("".join(parts)[:LONGEST_TERM], *(part[:LONGEST_TERM] for part in parts))


def _technical(word: str) -> tuple[str, ...]:
    """Returns the spellings of a code, part number or measure: squashed first, then its parts."""
    number = word.replace(",", ".")
    if number.replace(".", "", 1).isdigit():
        return (number,)
    joined = _JOINED_UNIT.fullmatch(number)
    if joined and joined[2] in UNITS:
        return (number, joined[1])
    parts = [part[:LONGEST_TERM] for part in _SEPARATOR.split(word) if part]
    if len(parts) == 1:
        return (parts[0],)
    return ("".join(parts)[:LONGEST_TERM], *parts)


def tokens(text: str) -> Iterator[Token]:
    """Yields the words of a text in order, with negations carried to the next content word of the sentence."""
    negated = 0
    before = 0
    number = ""
    for match in WORD.finditer(text):
        start, end = match.span()
        word = read_word(match.group())
        gap = text[before:start]
        if negated and _SENTENCE_END.search(gap):
            negated = 0
        extra: tuple[str, ...] = ()
        if number and word.plain and word.plain[0] in UNITS and len(gap) <= 2:  # "12 V" is also "12v"
            extra = (number + word.plain[0],)
        if word.negates:
            negated = 4
        elif negated and not word.stop and not word.light and word.terms:
            extra = (*extra, NOT + word.terms[0])
            negated = 0
        elif negated:
            negated -= 1
        number = word.plain[0] if word.plain and word.plain[0].replace(".", "", 1).isdigit() else ""
        before = end
        yield Token(start, end, word, extra)


@lru_cache(maxsize=20_000)
def content_stems(text: str) -> frozenset[str]:
    """Returns the stems of the content words of a short text (light and stop words left out, unless all are)."""
    found = [token.word for token in tokens(text)]
    strong = {term for word in found if not word.light and not word.stop for term in word.terms[:1]}
    return frozenset(strong or {term for word in found for term in word.terms[:1]})
