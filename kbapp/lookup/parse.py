"""What a person types, taken apart; nothing typed or pasted can fail.

Operators are plain words, a minus is punctuation, a quote that is never closed is ignored. Quoted words must stand in
a case as they are written.
"""

import re
from dataclasses import dataclass
from typing import Final

from kbapp.lookup.words import Token, tokens
from kbapp.records.code_search import find_codes

LONGEST: Final = 20_000
"""Characters of a question that are read."""

_QUOTED = re.compile('["“”„«]([^"“”„«»\n]{1,300})["“”»]')
_WORDS = re.compile(r"\w+")


@dataclass(frozen=True, slots=True)
class Reading:
    """A text as read: words with their places, quoted phrases, trouble codes, and names (``2026-0147``)."""

    text: str
    words: tuple[Token, ...]
    phrases: tuple[re.Pattern[str], ...]
    codes: tuple[str, ...]
    names: tuple[str, ...]

    @property
    def unfinished(self) -> bool:
        """Returns whether the text ends in the middle of a word."""
        return bool(self.words) and self.words[-1].end == len(self.text)


def read(text: str) -> Reading:
    """Returns a question's text taken apart."""
    safe = text[:LONGEST].encode("utf-8", "replace").decode()
    found = tuple(tokens(safe))
    return Reading(safe, found, tuple(_phrases(safe)), _codes(safe), _names(safe))


def _codes(text: str) -> tuple[str, ...]:
    """Returns the trouble codes that stand in a text, each once, without their failure type."""
    return tuple(dict.fromkeys(found.code.base for found in find_codes(text)))


def _phrases(text: str) -> list[re.Pattern[str]]:
    patterns = []
    for match in _QUOTED.finditer(text):
        words = _WORDS.findall(match[1])
        if words:
            inner = r"[\W_]+".join(re.escape(word) for word in words)
            patterns.append(re.compile(rf"(?<!\w){inner}(?!\w)", re.IGNORECASE))
    return patterns[:8]


def _names(text: str) -> tuple[str, ...]:
    """Returns what can be a case's number or id: the whole text, and every piece of it that holds a digit."""
    pieces = [piece.strip(".,;:!?()[]\"'").casefold() for piece in text.split()[:50]]
    whole = text.strip().casefold()
    return tuple(
        dict.fromkeys(name for name in (whole, *pieces) if 0 < len(name) <= 120 and any(c.isdigit() for c in name))
    )
