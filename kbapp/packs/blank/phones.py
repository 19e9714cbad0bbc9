"""Finds phone numbers in running text, and leaves alone what only looks like one.

Common practice: a number is taken for a phone number when it is written as one (country code, trunk zero, brackets,
3-3-4 or 3-4 groups) or follows a word such as *call* or *tel*. Figures after *part* or *no.*, before a unit, in a date
or in one piece survive: part numbers are not personal data.
"""

import re
from collections.abc import Iterator
from typing import Final

from kbapp.packs.blank.removal import MARKS, Span

_CANDIDATE: Final = re.compile(
    r"(?<![\w/.,=#-])(?<!\d:)(?:\+|00)?\(?\d(?:[\d() /.\-\u2010-\u2013\u00a0\u202f]{3,24})\d(?!\w|[.,:/-]\d)"
)
_PIECE: Final = re.compile(r"\d+")
_CALL: Final = re.compile(
    r"\b(?:tele?(?:phone|fono|fon)?|tel[eé]fono|t[eé]l|phoned?|ph|mob(?:ile)?|m[oó]vil|cell(?:ular)?|call(?:ed|s|ing)?|"
    r"ring|rings|rang|text(?:ed)?|sms|fax|handy|whats\s?app|dial|reach(?:able|ed)?|contact(?:able)?|callback|landline|"
    r"llamar?|anrufen?|nummer)\b",
    re.IGNORECASE,
)
# After these a number in one of the forms of _CERTAIN is a phone number all the same: "fitted that pump: 01632 960703".
_COMPONENT: Final = re.compile(
    r"\b(?:sensor|pump|module|ecu|unit|relay|bearing|filter|injector|valve|coil|kit|fits|item|torque)\b", re.IGNORECASE
)
_CERTAIN: Final = frozenset({(5, 6), (5, 3, 3), (4, 3, 4), (3, 4, 4), (4, 6), (4, 7)})
_PART: Final = re.compile(
    r"\b(?:parts?|p/n|pn|part\s?no|oem|oe|ref(?:erence)?|(?:part|serial|stock|model|catalogue|type)\s?numbers?|n[or](?=[\s.:#]*$)|sensor|pump|module|ecu|unit|type|"
    r"code|label|stamped|marked|printed|serial|s/n|software|calibration|version|fits|supersede[sd]?|catalogue|id|hw|sw|"
    r"torque|batch|dot|relay|bearing|filter|injector|valve|coil|kit|item)\b\.?",
    re.IGNORECASE,
)
_UNIT: Final = re.compile(
    r"\s?(?:km|mi|miles?|m|mm|cm|[mkµ]?V|[mµk]?A|[mkM]?(?:Ω|ohms?)|Nm|N·m|[km]?Pa|bar|psi|mbar|°|deg[CF]?|C|F|rpm|%|Hz|kHz|"
    r"ms|s|sec|min|minutes|h|hours?|l|ml|g|kg|mg|W|kW|Ah|cc|steps?|counts?|pulses|x|bits?|bytes?|times|turns)\b",
)
_REACH: Final = 36


def find_phones(text: str) -> Iterator[Span]:
    """Yields every phone number."""
    if not re.search(r"\d{2}", text):
        return
    for start, shown in _candidates(text):
        end = start + len(shown)
        word = _word_before(text, start)
        if _is_phone(shown, word, text[end : end + 12]):
            yield Span(start, end, "phone", MARKS["phone"])


def _candidates(text: str) -> Iterator[tuple[int, str]]:
    """Yields place and text of everything that could be a number; two with a stroke between them are two."""
    for match in _CANDIDATE.finditer(text):
        at = match.start()
        for piece in re.split(r"(\s+/\s+)", match[0]):
            if any(map(str.isdigit, piece)):
                yield at, piece.rstrip(" (./-")
            at += len(piece)


def _word_before(text: str, start: int) -> str:
    """Returns ``call``, ``part`` or ``component`` for the nearest such word before a number, or nothing."""
    before = re.split(r"[;!?\n]|\.\s(?!$)", text[max(0, start - _REACH) : start])[-1]
    call = max((match.end() for match in _CALL.finditer(before)), default=-1)
    part = max((match.end() for match in _PART.finditer(before)), default=-1)
    if call < 0 and part < 0:
        return ""
    # "phone number 555 …", "call on number …": the word for a phone rules over the bare word number
    near = re.fullmatch(
        r"[\s:.]*(?:number|no|nr|nummer|is)?[\s:.#]*(?:is|was|on|at)?[\s:.]*", before[call:] if call >= 0 else "x"
    )
    if call >= 0 and (near or call > part):
        return "call"
    word = max(_PART.finditer(before), key=lambda match: match.end())[0]
    return "component" if _COMPONENT.fullmatch(word.rstrip(".")) else "part"


def _is_phone(shown: str, word: str, after: str) -> bool:
    groups = [match[0] for match in _PIECE.finditer(shown)]
    count = sum(map(len, groups))
    if not 6 <= count <= 15 or _is_date(groups):
        return False
    if shown.startswith("+"):
        return count >= 8
    certain = groups[0][0] == "0" and tuple(map(len, groups)) in _CERTAIN and "-" not in shown
    if word == "part" or (word == "component" and not certain) or _UNIT.match(after):
        return False
    if word == "call":
        return True
    return _is_written_as_phone(shown, groups, count)


def _is_date(groups: list[str]) -> bool:
    sizes = tuple(map(len, groups))
    if sizes[:3] in ((4, 2, 2), (2, 2, 4), (1, 1, 4), (1, 2, 4), (2, 1, 4)):
        year = groups[0] if sizes[0] == 4 else groups[2]
        return year[:2] in ("19", "20")
    return sizes == (4, 4) and groups[0][:2] in ("19", "20")  # a case number: year and number


def _is_written_as_phone(shown: str, groups: list[str], count: int) -> bool:
    sizes = tuple(map(len, groups))
    if len(groups) < 2:
        return False
    if shown.startswith("00") and count >= 10:
        return True
    if shown.startswith("(") and ")" in shown:
        return count >= 7
    if groups[0].startswith("0"):
        return 9 <= count <= 12 and 2 <= sizes[0] <= 5 and _is_trunk_form(sizes) and "." not in shown
    if sizes in ((3, 3, 4), (1, 3, 3, 4)):
        return groups[-3][0] in "23456789" and (sizes[0] == 3 or groups[0] == "1")
    return sizes == (3, 4) and groups[0] == "555"


def _is_trunk_form(sizes: tuple[int, ...]) -> bool:
    if sizes == (2, 2, 2, 2, 2):
        return True
    return sizes[0] >= 3 and len(sizes) <= 5 and (len(sizes) > 1 and max(sizes[1:]) >= 3)
