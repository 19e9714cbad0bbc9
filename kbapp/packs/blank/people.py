"""Finds names and addresses in running text that no private record lists: after a title, before a street's word.

A name without a title, and an address without a street or postcode, cannot be told from other words: those are found
only where the private record of the case (or of another visit of the same vehicle) has them.
"""

import re
from collections.abc import Iterator
from typing import Final

from kbapp.packs.blank.removal import MARKS, Span
from kbapp.packs.blank.words import COMMON_WORDS, NO_NAMES, NOT_NAMES, TRADE_WORDS

_CAP: Final = r"[A-ZÀ-ÖØ-Þ][a-zß-öø-ÿ]*(?:(?:['’](?=[A-ZÀ-ÖØ-Þ])|-)?[A-ZÀ-ÖØ-Þ]?[a-zß-öø-ÿ]+)+"
_OF: Final = r"(?:(?:de|van|von|der|la|del|da|di)[ ])*"
_TITLED: Final = re.compile(
    r"\b(?:Mr|Mrs|Ms|Miss|Mister|Mstr|Dr|Prof|Herrn?|Frau|Señora?|Señorita|Sra?|Mme|Mlle|Madame|Monsieur|MR|MRS|MS)\b\.?"
    rf"[ \u00a0](?P<name>(?:[A-Z]\.?[ ])?{_OF}{_CAP}(?:[ ]{_OF}{_CAP})?|[A-Z]{{3,}})"
)
_NAMED: Final = re.compile(
    r"(?i:\b(?:customer|owner|driver|client|keeper|husband|wife|son|daughter|father|mother)(?:'s)?)(?i:[ ]name)?"
    rf"(?:[ ](?i:is|was|called|named)|:|,)?[ ]\(?(?P<name>{_CAP}(?:[ ][A-Z]\.)?(?:[ ]{_CAP})+)"
)
_SPOKEN: Final = re.compile(
    r"(?i:\b(?:spoke|speak|spoken|talked)[ ](?:to|with)|\bask(?:ed)?[ ]for|\b(?:collected|picked[ ]up|dropped[ ]off|"
    r"brought(?:[ ]in)?|booked(?:[ ]in)?|signed|authori[sz]ed|paid)[ ]by|\bregards,?|\bthanks,|\bname:|\bcontact:|"
    rf"\bcustomer:|\bowner:)[ \n](?P<name>(?:[A-Z]\.[ ]?)?{_CAP}(?:[ ]{_CAP})?)"
)

_SHORTEST: Final = 3
_CONTRACTION: Final = re.compile(r"[A-Z][a-z]*['’](?:d|ll|m|ve|s|t|re)")
_WORD: Final = re.compile(r"[^\W\d_]{2,}")
_CAPITALS: Final = re.compile(rf"(?<![\w'’./-]){_CAP}(?:[ ]{_CAP}){{0,2}}(?![\w’/-])")

_STREET: Final = (
    r"(?:Street|St|Road|Rd|Avenue|Ave|Lane|Ln|Drive|Dr|Close|Court|Ct|Way|Place|Pl|Square|Sq|Terrace|Crescent|Cres|"
    r"Boulevard|Blvd|Gardens|Gdns|Grove|Mews|Row|Walk|Rise|Parade|Quay|Highway|Hwy|Parkway|Pkwy|Trail|Circle|Alley)"
)
_BRITISH: Final = r"[A-Z]{1,2}[0-9][A-Z0-9]?[ ][0-9][ABD-HJLNP-UW-Z]{2}"
_TAIL: Final = (
    rf"(?:,?[ \n]+(?:(?:Apt|Flat|Unit|Suite)[ ]?\w+|{_CAP}(?:[ ]{_CAP})?|{_BRITISH}|[A-Z]{{2}}[ ]\d{{5}}|"
    rf"\d{{4,5}}[ ]{_CAP}))*"
)
_TOWN: Final = rf"(?:,[ ](?:[A-Z]{{1,2}}-)?\d{{4,5}}[ ]{_CAP})?"
_DE: Final = r"(?:(?:de|del|la|las|los|da|das|do|dos|des|du|di|le|les|y)[ ])*"
_ADDRESSES: Final = (
    re.compile(
        r"(?:\b(?:Flat|Apt|Unit)[ ]\w+,?[ ])?\b\d{1,5}[A-Za-z]?,?[ ]"
        rf"(?:(?:{_CAP}(?:['’]s)?|St\.?|[NSEW]\.?)[ ]){{1,3}}"
        rf"{_STREET}\b\.?(?:,{_TAIL})?"
    ),
    re.compile(rf"\b{_CAP}(?:stra(?:ß|ss)e|str\.|weg|gasse|allee|platz|damm|ufer)[ ]\d{{1,4}}[ ]?[a-z]?\b{_TOWN}"),
    re.compile(
        r"\b(?:Calle|C/|Avenida|Avda\.?|Plaza|Paseo|Rue|rue|Via|Viale|Corso|Rua|Chemin|Place)[ ]"
        rf"{_DE}{_CAP}(?:[ ]{_DE}{_CAP})?,?[ ]\d{{1,4}}\b{_TOWN}"
    ),
    re.compile(
        r"\b\d{1,4}(?:[ ]bis)?,?[ ](?:rue|avenue|boulevard|chemin|place)[ ]"
        rf"{_DE}{_CAP}(?:[ ]{_CAP})?{_TOWN}"
    ),
    re.compile(r"\b\d{1,4}[ ]The[ ](?:Green|Hill|Street|Avenue|Mount|Square|Quay|Crescent|Moorings)\b"),
    re.compile(
        rf"\b(?:Am|Im|Zum|Zur|An[ ]der|Auf[ ]de[rm]|Unter[ ]den|Hinter[ ]de[rm])[ ]{_CAP}[ ]\d{{1,3}}[a-z]?\b"
        rf"(?![.,]\d){_TOWN}"
    ),
    re.compile(rf"(?<![\w-]){_BRITISH}(?![\w-])"),
    re.compile(rf"(?<=, )(?:{_CAP},?[ ])?[A-Z]{{2}} [0-9]{{5}}(?:-[0-9]{{4}})?(?!\w)"),
    re.compile(r"\b(?i:p\.?[ ]?o\.?[ ]box)[ ]\d+\b"),
)


def find_people(text: str) -> Iterator[Span]:
    """Yields every name that a title or a word before it gives away."""
    for pattern in (_TITLED, _NAMED, _SPOKEN):
        for match in pattern.finditer(text):
            words = re.split(r"[ ]", match["name"])
            if words[0] not in NO_NAMES and words[-1] not in NO_NAMES:
                yield Span(match.start("name"), match.end("name"), "name", MARKS["name"])


def find_capitals(text: str, known: frozenset[str]) -> Iterator[Span]:
    """Yields words with capitals in the middle of a sentence, or two at its head: in the trade's English names.

    ``known``: words (in small letters) that are none: makes, families, shops. A text in which capitals are common (a
    heading, a language that writes nouns with them) says nothing this way and is left alone.
    """
    words = _WORD.findall(text)
    capitals = sum(word[0].isupper() and word[1:].islower() for word in words)
    for match in _CAPITALS.finditer(text) if capitals <= max(4, len(words) / 3) else ():
        parts = [part for part in re.split("[ -]", match[0]) if part]
        if len(parts[0]) < _SHORTEST or _CONTRACTION.fullmatch(match[0]):
            continue
        if (" " in match[0] or not _begins_sentence(text, match.start())) and not any(
            _is_known(part, known) for part in parts
        ):
            yield Span(match.start(), match.end(), "name", MARKS["name"])


def _begins_sentence(text: str, at: int) -> bool:
    before = text[:at].rstrip(" \"'“”‘([")
    return not before or before[-1] in ".!?:;\n•*#>|/"


def _is_known(word: str, known: frozenset[str]) -> bool:
    low = word.lower()
    return low in known or low in NOT_NAMES or low in TRADE_WORDS or low in COMMON_WORDS or word in NO_NAMES


def find_addresses(text: str) -> Iterator[Span]:
    """Yields every street with a number, postcode or box."""
    for pattern in _ADDRESSES:
        for match in pattern.finditer(text):
            yield Span(match.start(), match.end(), "address", MARKS["address"])
