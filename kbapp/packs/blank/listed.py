"""Finds again, in any text, what the private record of a case lists: however it is spaced, spelled or accented."""

import re
from collections.abc import Iterable, Iterator
from typing import Final

from kbapp.packs.blank.removal import MARKS, Kind, Span
from kbapp.packs.blank.texts import shared_vin
from kbapp.packs.blank.words import NOT_NAMES, TRADE_WORDS
from kbapp.records.private import PrivateDetails
from kbapp.records.vin import fold_vin, read_vin

_GAP: Final = r"[\s./()\-\u2010-\u2013·\u00a0]{0,3}"
_EDGE_BEFORE: Final = r"(?<![^\W_])"
_EDGE_AFTER: Final = r"(?![^\W_])"
_PHONE_TAIL: Final = 7
_SHORTEST: Final = 3
_ACCENTS: Final = {
    "a": "[aàáâãåā]", "ä": "(?:ä|ae|a)", "c": "[cçćč]", "e": "[eèéêëęě]", "i": "[iìíîïı]", "n": "[nñńň]",
    "o": "[oòóôõø]", "ö": "(?:ö|oe|o)", "s": "[sśšş]", "u": "[uùúûů]", "ü": "(?:ü|ue|u)", "y": "[yýÿ]", "z": "[zźżž]",
    "ß": "(?:ß|ss|sz)", "l": "[lł]", "g": "[gğ]", "r": "[rř]", "t": "[tť]", "d": "[dđ]", "ø": "(?:ø|oe|o)",
    "æ": "(?:æ|ae)", "å": "(?:å|aa|a)",
}  # fmt: skip
# A name written without its dots is found with them too.
_PAIRS: Final = {"ae": "(?:ae|ä|æ)", "oe": "(?:oe|ö|ø)", "ue": "(?:ue|ü)", "ss": "(?:ss|ß)"}
_BASE: Final = {char: base for base, group in _ACCENTS.items() if group.startswith("[") for char in group[1:-1]}


class Listed:
    """The values of one or several private records, ready to be found in text.

    ``known``: words with a capital that are no names of people (makes, families, the shop), in small letters.
    """

    def __init__(self, records: Iterable[PrivateDetails], known: Iterable[str] = ()) -> None:
        self.known = frozenset(known)
        patterns: dict[tuple[Kind, str], re.Pattern[str]] = {}
        for record in records:
            for kind, source, flags in _patterns(record):
                patterns.setdefault((kind, source), re.compile(source, flags))
        self._patterns = tuple((kind, pattern) for (kind, _), pattern in patterns.items())

    def __bool__(self) -> bool:
        return bool(self._patterns)

    def find(self, text: str) -> Iterator[Span]:
        """Yields every place in a text where a listed value stands."""
        for kind, pattern in self._patterns:
            for match in pattern.finditer(text):
                if match.end() > match.start():
                    put = shared_vin(match[0]) if kind == "vin" and read_vin(match[0]).value else MARKS[kind]
                    yield Span(match.start(), match.end(), kind, put)


def _patterns(record: PrivateDetails) -> Iterator[tuple[Kind, str, int]]:
    ignore = re.IGNORECASE
    for source in _phones(record.phone):
        yield "phone", source, 0
    for plate in re.split(r"[,;/|]", record.plate):
        if len(_bare(plate)) >= _SHORTEST:
            yield "plate", _spaced(_bare(plate)), ignore
    for source in _vins(record.vin):
        yield "vin", source, ignore
    for order in re.split(r"[,;|]", record.order_number):
        if len(_bare(order)) >= _SHORTEST:
            yield "order_number", rf"(?<![\d.,]){_spaced(_bare(order))}(?![.,]\d)", ignore
    for email in re.split(r"[\s,;]+", record.email):
        if len(email) >= _SHORTEST:
            yield "email", _email(email), ignore
    for source, flags in _addresses(record.address):
        yield "address", source, flags
    for source, flags in _names(record.customer):
        yield "name", source, flags


def _bare(text: str) -> str:
    return "".join(char for char in text if char.isalnum())


def _spaced(bare: str, gap: str = _GAP) -> str:
    return _EDGE_BEFORE + gap.join(re.escape(char) for char in bare) + _EDGE_AFTER


def _phones(text: str) -> Iterator[str]:
    pieces = re.split(r"[,;|\n]| / | or ", text)
    if len(pieces) == 1 and len(re.sub(r"\D", "", text)) > 15:
        pieces = text.split("/")
    for piece in pieces:
        digits = re.sub(r"\D", "", piece)
        if len(digits) >= _PHONE_TAIL:
            tail = _GAP.join(digits[-_PHONE_TAIL:])
            yield rf"[+(]{{0,2}}(?:\d{_GAP}){{0,10}}{tail}(?!\d)"
        elif len(digits) >= 4:
            yield rf"(?<![\d.,]){_GAP.join(digits)}(?![\d]|[.,]\d)"


def _vins(text: str) -> Iterator[str]:
    bare = _bare(fold_vin(text))
    if len(bare) < 6:
        return
    yield _spaced(bare)
    for length in (12, 9, 8, 7, 6):
        tail = bare[-length:]
        if length < len(bare) and any(map(str.isdigit, tail)):
            yield _spaced(tail, "")


def _email(email: str) -> str:
    name, at, host = email.partition("@")
    if not at:
        return _EDGE_BEFORE + re.escape(email) + _EDGE_AFTER
    dotted = r"\s?(?:\.|\(dot\)|\[dot\]|\sdot\s)\s?".join(re.escape(part) for part in host.split("."))
    return rf"{_EDGE_BEFORE}{re.escape(name)}\s?(?:@|\(at\)|\[at\]|\sat\s)\s?{dotted}{_EDGE_AFTER}"


def _addresses(text: str) -> Iterator[tuple[str, int]]:
    for piece in re.split(r"[,;|\n]+", text):
        words = piece.split()
        if not words:
            continue
        whole = r"[\s,.]*".join(map(_accented, words))
        if len(_bare(piece)) >= 5:
            yield _EDGE_BEFORE + whole + _EDGE_AFTER, re.IGNORECASE
        named = [word for word in words if not any(map(str.isdigit, word))]
        if named and len(named) < len(words):
            yield from _place_name(named)
            yield from ((_spaced(word), 0) for word in words if word.isdigit() and len(word) >= 4)


def _place_name(words: list[str]) -> Iterator[tuple[str, int]]:
    """Yields the street or town of a line without its numbers; a single common word needs its capital."""
    if len(words) > 1:
        yield _EDGE_BEFORE + r"\s+".join(map(_accented, words)) + _EDGE_AFTER, re.IGNORECASE
    elif len(words[0]) >= 4:
        yield _EDGE_BEFORE + _capital(words[0]) + _EDGE_AFTER, 0


def _names(text: str) -> Iterator[tuple[str, int]]:
    words = re.findall(r"[^\W\d_]+(?:['’-][^\W\d_]+)*", text)
    if len(words) > 1:
        yield _EDGE_BEFORE + r"[\s,.]+".join(map(_accented, words)) + _EDGE_AFTER, re.IGNORECASE
        yield _EDGE_BEFORE + r"[\s,.]+".join(map(_accented, reversed(words))) + _EDGE_AFTER, re.IGNORECASE
    pieces = [piece for word in words for piece in re.split("['’-]", word)]
    for word in dict.fromkeys([*words, *pieces]):
        low = word.lower()
        if len(word) < _SHORTEST or low in NOT_NAMES:
            continue
        if low in TRADE_WORDS:
            yield _EDGE_BEFORE + _capital(word) + _EDGE_AFTER, 0
        else:
            yield _EDGE_BEFORE + _accented(word) + _EDGE_AFTER, re.IGNORECASE


def _accented(word: str) -> str:
    return "".join(_any_spelling(piece) for piece in re.findall("ae|oe|ue|ss|.", word.lower()))


def _any_spelling(piece: str) -> str:
    if piece in "'’":
        return "['’]?"
    base = _BASE.get(piece, piece)
    return _PAIRS.get(piece) or _ACCENTS.get(piece) or _ACCENTS.get(base) or re.escape(piece)


def _capital(word: str) -> str:
    """Returns a pattern for a word with a capital letter: ``Green`` and ``GREEN``, but not ``green``."""
    return f"(?:{re.escape(word.capitalize())}|{re.escape(word.upper())})"
