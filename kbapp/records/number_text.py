"""Reads numbers as people type them: decimal point or comma, fractions (``1 1/2``, ``2½``), simple ones in words."""

import re
import unicodedata
from typing import Final

_COUNTS: Final = {
    word: n
    for n, word in enumerate(
        "zero one two three four five six seven eight nine ten eleven twelve".split()  # noqa: SIM905 - reads better
    )
}
_PARTS: Final = {"half": 1 / 2, "third": 1 / 3, "quarter": 1 / 4, "eighth": 1 / 8, "tenth": 1 / 10}
_VULGAR: Final = "¼½¾⅓⅔⅛⅜⅝⅞"

_COUNT: Final = "|".join(_COUNTS)
_PART: Final = "|".join(_PARTS)
_WORDS: Final = (
    rf"(?:{_COUNT}|an?)\s+and\s+an?\s+(?:half|quarter)"
    rf"|(?:(?:an?|one|two|three)\s+)?(?:{_PART})s?(?:\s+of)?(?:\s+an?)?"
    rf"|(?:{_COUNT})"
)
_FIGURES: Final = (
    rf"[-+−]?(?:[0-9]+\ ?[{_VULGAR}]|[{_VULGAR}]|(?:[0-9]+\ )?[0-9]+/[1-9][0-9]*"
    r"|[0-9]+(?:,[0-9]{3})+\.[0-9]+|[0-9]+(?:[.,'’][0-9]+)*|\.[0-9]+)(?:k(?=\s?(?:miles?|mi|kms?)\b))?"
)
NUMBER: Final = rf"(?:{_FIGURES}|\b(?:{_WORDS})\b)"
"""A regular expression without named groups (case is to be ignored) for what ``read_number`` reads."""

_MIXED_WORDS: Final = re.compile(rf"(?P<count>{_COUNT}|an?)\s+and\s+an?\s+(?P<part>half|quarter)")
_PART_WORDS: Final = re.compile(rf"(?:(?P<count>an?|one|two|three)\s+)?(?P<part>{_PART})s?(?:\s+of)?(?:\s+an?)?")
_FRACTION: Final = re.compile(r"(?:(?P<whole>[0-9]+) )?(?P<over>[0-9]+)/(?P<under>[1-9][0-9]*)")
_VULGAR_NUMBER: Final = re.compile(rf"(?P<whole>[0-9]+)? ?(?P<vulgar>[{_VULGAR}])")
_GROUPED: Final = re.compile(r"[1-9][0-9]{0,2}(?:[,'’][0-9]{3})+(?:\.[0-9]+)?")
_ONE_COMMA: Final = re.compile(r"[0-9]*,[0-9]+")
_PLAIN: Final = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+")
_LONGEST: Final = 40


def read_number(text: str, *, thousands: bool = False) -> float | None:
    """Returns the number in a text, or None.

    ``thousands``: whether a single comma with three digits behind it groups thousands ("184,000"); otherwise it is a
    decimal comma ("12,650"). Two groups, or a point behind them, are thousands in any case.
    """
    text = text.strip().lower()
    if not text or len(text) > _LONGEST:
        return None
    sign = -1.0 if text[0] in "-−" else 1.0
    text = text.lstrip("-−+").strip()
    scale = 1000.0 if text.endswith("k") else 1.0
    value = _in_words(text) if text[:1].isalpha() else _in_figures(text.removesuffix("k"), thousands=thousands)
    return None if value is None else sign * scale * value


def _in_words(text: str) -> float | None:
    mixed = _MIXED_WORDS.fullmatch(text)
    if mixed:
        return _COUNTS.get(mixed["count"], 1) + _PARTS[mixed["part"]]
    part = _PART_WORDS.fullmatch(text)
    if part:
        return _COUNTS.get(part["count"], 1) * _PARTS[part["part"]]
    count = 1 if text in ("a", "an") else _COUNTS.get(text)
    return None if count is None else float(count)


def _in_figures(text: str, *, thousands: bool) -> float | None:
    vulgar, fraction = _VULGAR_NUMBER.fullmatch(text), _FRACTION.fullmatch(text)
    if vulgar:
        return int(vulgar["whole"] or 0) + unicodedata.numeric(vulgar["vulgar"])
    if fraction:
        return int(fraction["whole"] or 0) + int(fraction["over"]) / int(fraction["under"])
    plain = text.replace(",", ".", 1)
    if _GROUPED.fullmatch(text) and (thousands or not _ONE_COMMA.fullmatch(text)):
        plain = re.sub("[,'’]", "", text)
    return float(plain) if _PLAIN.fullmatch(plain) else None
