"""Finds number plates in running text: by the word before them, or by a shape little else has.

Common practice for the shapes (Britain, Germany, France and Italy, Spain); plates of other places are found after a
word such as *plate* or *registration*, and always where the private record names them.
"""

import re
from collections.abc import Iterator
from typing import Final

from kbapp.packs.blank.removal import MARKS, Span
from kbapp.packs.blank.words import PLATE_LIKE

_NAMED: Final = re.compile(
    r"(?i:\b(?:number\s?plates?|licen[cs]e\s?plates?|licen[cs]e(?:\s?no\.?)?|plates?|reg(?:istration)?(?:\s?(?:no|number|mark))?|rego|"
    r"kennzeichen|matr[ií]cula|immatriculation|targa|tag)\b)[\s.:#]{0,3}(?i:(?:no|nr|is|was|read(?:s|ing)?)\b[\s.:#]{0,2})?"
    r"[\"'(]?(?P<plate>[A-Za-zÄÖÜ0-9]{1,4}(?:[ ·-]?[A-Za-zÄÖÜ0-9]{1,5}){0,3})(?![A-Za-z0-9])"
)
_SHAPES: Final = (
    re.compile(r"(?<![\w-])[A-Z]{2}[0-9]{2} ?[A-Z]{3}(?![\w-])"),
    re.compile(r"(?<![\w-])[A-ZÄÖÜ]{1,3}-[A-Z]{1,2}[ -]?[1-9][0-9]{0,3}[EH]?(?![\w-])"),
    re.compile(r"(?<![\w-])[A-HJ-NP-TV-Z]{2}([- ])[0-9]{3}\1[A-HJ-NP-TV-Z]{2}(?![\w-])"),
    re.compile(r"(?<![\w-])[0-9]{4}[ -]?[BCDFGHJKLMNPRSTVWXYZ]{3}(?![\w-])"),
)  # fmt: skip
_UNITS: Final = re.compile(
    r"^\d+\s?(?:mm|cm|m|V|A|mA|mV|Nm|bar|kPa|psi|km|rpm|kg|g|W|kW|Hz|ms|s|h|min|C|Ah|x|st|nd|rd|th)\b", re.IGNORECASE
)
_UNIT_AFTER: Final = re.compile(r"\s?(?:mm|cm|m|V|A|Ω|ohms?|Nm|bar|kPa|psi|km|rpm|kg|%|ms|°|degC)\b")
_WORDS: Final = re.compile(r"[A-Za-zÄÖÜ]+")


def find_plates(text: str) -> Iterator[Span]:
    """Yields every number plate."""
    for match in _NAMED.finditer(text):
        token = _plate_of(match["plate"])
        if token:
            start = match.start("plate")
            yield Span(start, start + len(token), "plate", MARKS["plate"])
    for shape in _SHAPES:
        for match in shape.finditer(text):
            if not _is_trade(match[0]) and not _UNIT_AFTER.match(text, match.end()):
                yield Span(match.start(), match.end(), "plate", MARKS["plate"])


def _is_trade(token: str) -> bool:
    return any(word in PLATE_LIKE for word in _WORDS.findall(token))


def _plate_of(token: str) -> str:
    """Returns the longest beginning of the words after *plate* that looks like one, or nothing."""
    pieces = re.split(r"([ ·-])", token)
    for end in range(len(pieces), 0, -2):
        tried = "".join(pieces[:end])
        if _is_plate(tried):
            return tried
    return ""


def _is_plate(token: str) -> bool:
    bare = re.sub(r"[ ·-]", "", token)
    letters, digits = sum(map(str.isalpha, bare)), sum(map(str.isdigit, bare))
    small = any(word.islower() and len(word) > 3 for word in _WORDS.findall(token))
    return (
        5 <= len(bare) <= 9
        and letters > 0
        and digits > 0
        and not small
        and not _UNITS.match(token)
        and not _is_trade(token)
    )
