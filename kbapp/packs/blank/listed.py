"""Finds again, in any text, what the private record of a case lists: however it is spaced, spelled or accented."""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
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
    "ß": "(?:ß|ss)", "l": "[lł]", "g": "[gğ]", "r": "[rř]", "t": "[tť]", "d": "[dđ]", "ø": "(?:ø|oe|o)",
    "æ": "(?:æ|ae)", "å": "[åa]",
}  # fmt: skip
_SPECIAL: Final = str.maketrans({"ø": "o", "æ": "ae", "ł": "l", "đ": "d", "ı": "i"})
# A name written without its dots is found with them too.
_PAIRS: Final = {"ae": "(?:ae|ä|æ)", "oe": "(?:oe|ö|ø)", "ue": "(?:ue|ü)", "ss": "(?:ss|ß)"}
_BASE: Final = {char: base for base, group in _ACCENTS.items() if group.startswith("[") for char in group[1:-1]}


@dataclass(frozen=True, slots=True)
class _Value:
    """One listed value: ``source`` finds it; no text without ``key`` (both folded) can hold it."""

    kind: Kind
    key: str
    source: str
    flags: int


class Listed:
    """The values of one or several private records, ready to be found in text.

    ``known``: words with a capital that are no names of people (makes, families, the shop), in small letters.
    """

    def __init__(self, records: Iterable[PrivateDetails], known: Iterable[str] = ()) -> None:
        self.known = frozenset(known)
        self._values = tuple(dict.fromkeys(value for record in records for value in _values(record)))
        self._patterns: tuple[tuple[Kind, re.Pattern[str]], ...] | None = None

    def within(self, texts: Iterable[str]) -> "Listed":
        """Returns the values that some of these texts may hold: most hold none, and patterns are dear to make."""
        out = Listed((), self.known)
        haystack = folded("\n".join(texts)) if self._values else ""
        out._values = tuple(value for value in self._values if value.key in haystack)
        return out

    def find(self, text: str) -> Iterator[Span]:
        """Yields every place in a text where a listed value stands."""
        if self._patterns is None:
            self._patterns = tuple((one.kind, re.compile(one.source, one.flags)) for one in self._values)
        for kind, pattern in self._patterns:
            for match in pattern.finditer(text):
                if match.end() > match.start():
                    put = shared_vin(match[0]) if kind == "vin" and read_vin(match[0]).value else MARKS[kind]
                    yield Span(match.start(), match.end(), kind, put)


def folded(text: str) -> str:
    """Returns the letters and figures of a text alone, without accents and without any e.

    ä, ae and a then fold to the same: whatever a pattern here can find is in the folded text too.
    """
    plain = unicodedata.normalize("NFKD", text.casefold().translate(_SPECIAL))
    return "".join(char for char in plain if char.isalnum() and char != "e")


def _values(record: PrivateDetails) -> Iterator[_Value]:
    ignore = re.IGNORECASE
    for key, source in _phones(record.phone):
        yield _Value("phone", key, source, 0)
    for plate in re.split(r"[,;/|]", record.plate):
        if len(_bare(plate)) >= _SHORTEST:
            yield _Value("plate", folded(plate), _spaced(_bare(plate)), ignore)
    for key, source in _vins(record.vin):
        yield _Value("vin", folded(key), source, ignore)
    for order in re.split(r"[,;|]", record.order_number):
        if len(_bare(order)) >= _SHORTEST:
            yield _Value("order_number", folded(order), rf"(?<![\d.,]){_spaced(_bare(order))}(?![.,]\d)", ignore)
    for email in re.split(r"[\s,;]+", record.email):
        if len(email) >= _SHORTEST:
            yield _Value("email", folded(email.partition("@")[0]), _email(email), ignore)
    for key, source, flags in _addresses(record.address):
        yield _Value("address", folded(key), source, flags)
    for key, source, flags in _names(record.customer):
        yield _Value("name", folded(key), source, flags)


def _bare(text: str) -> str:
    return "".join(char for char in text if char.isalnum())


def _spaced(bare: str, gap: str = _GAP) -> str:
    return _EDGE_BEFORE + gap.join(re.escape(char) for char in bare) + _EDGE_AFTER


def _phones(text: str) -> Iterator[tuple[str, str]]:
    pieces = re.split(r"[,;|\n]| / | or ", text)
    if len(pieces) == 1 and len(re.sub(r"\D", "", text)) > 15:
        pieces = text.split("/")
    for piece in pieces:
        digits = re.sub(r"\D", "", piece)
        if len(digits) >= _PHONE_TAIL:
            tail = _GAP.join(digits[-_PHONE_TAIL:])
            yield digits[-_PHONE_TAIL:], rf"[+(]{{0,2}}(?:\d{_GAP}){{0,10}}{tail}(?!\d)"
        elif len(digits) >= 4:
            yield digits, rf"(?<![\d.,]){_GAP.join(digits)}(?![\d]|[.,]\d)"


def _vins(text: str) -> Iterator[tuple[str, str]]:
    bare = _bare(fold_vin(text))
    if len(bare) < 6:
        return
    yield bare, _spaced(bare)
    for length in (12, 9, 8, 7, 6):
        tail = bare[-length:]
        if length < len(bare) and any(map(str.isdigit, tail)):
            yield tail, _spaced(tail, "")


def _email(email: str) -> str:
    name, at, host = email.partition("@")
    if not at:
        return _EDGE_BEFORE + re.escape(email) + _EDGE_AFTER
    dotted = r"\s?(?:\.|\(dot\)|\[dot\]|\sdot\s)\s?".join(re.escape(part) for part in host.split("."))
    return rf"{_EDGE_BEFORE}{re.escape(name)}\s?(?:@|\(at\)|\[at\]|\sat\s)\s?{dotted}{_EDGE_AFTER}"


def _addresses(text: str) -> Iterator[tuple[str, str, int]]:
    for piece in re.split(r"[,;|\n]+", text):
        words = piece.split()
        if not words:
            continue
        whole = r"[\s,.]*".join(map(_accented, words))
        if len(_bare(piece)) >= 5:
            yield piece, _EDGE_BEFORE + whole + _EDGE_AFTER, re.IGNORECASE
        named = [word for word in words if not any(map(str.isdigit, word))]
        if named and len(named) < len(words):
            yield from _place_name(named)
            yield from ((word, _spaced(word), 0) for word in words if word.isdigit() and len(word) >= 4)


def _place_name(words: list[str]) -> Iterator[tuple[str, str, int]]:
    """Yields the street or town of a line without its numbers; a single common word needs its capital."""
    if len(words) > 1:
        yield "".join(words), _EDGE_BEFORE + r"\s+".join(map(_accented, words)) + _EDGE_AFTER, re.IGNORECASE
    elif len(words[0]) >= 4:
        yield words[0], _EDGE_BEFORE + _capital(words[0]) + _EDGE_AFTER, 0


def _names(text: str) -> Iterator[tuple[str, str, int]]:
    words = re.findall(r"[^\W\d_]+(?:['’-][^\W\d_]+)*", text)
    if len(words) > 1:
        for order in (words, words[::-1]):
            yield "".join(order), _EDGE_BEFORE + r"[\s,.&+]+".join(map(_accented, order)) + _EDGE_AFTER, re.IGNORECASE
    pieces = [piece for word in words for piece in re.split("['’-]", word)]
    for word in dict.fromkeys([*words, *pieces]):
        low = word.lower()
        if len(word) < _SHORTEST or low in NOT_NAMES:
            continue
        if low in TRADE_WORDS:
            yield word, _EDGE_BEFORE + _capital(word) + _EDGE_AFTER, 0
        else:
            yield word, _EDGE_BEFORE + _accented(word) + _EDGE_AFTER, re.IGNORECASE


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
