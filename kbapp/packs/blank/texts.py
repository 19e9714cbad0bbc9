"""Finds e-mail addresses, VINs, order numbers and dates in running text."""

import re
from collections.abc import Iterator
from typing import Final

from kbapp.packs.blank.coarse import rounded, rounded_text
from kbapp.packs.blank.removal import MARKS, Span
from kbapp.records.vin import SHARED_LENGTH, find_vins, fold_vin, read_vin

_EMAIL: Final = re.compile(
    r"[\w.+'-]+@[\w-]+(?:\.[\w-]+)+"
    r"|\b[\w.+-]+\s?(?:\(at\)|\[at\]|\{at\})\s?[\w-]+(?:\s?(?:\(dot\)|\[dot\]|\.)\s?[\w-]+)+"
    r"|\b[\w.+-]+\sat\s[\w-]+(?:\sdot\s[a-z]{2,10}|\.(?:com|org|net|info|eu|de|es|fr|it|nl|at|ch|pt|uk|co\.uk|example))\b",
    re.IGNORECASE,
)
# A VIN in groups, or a piece of one, only where the word stands before it.
_SPACED_VIN: Final = re.compile(
    r"(?i:\b(?:vin|chassis(?:\s?n(?:o|umber|r)\.?)?|fin|frame\s?no\.?))[\s:.#is]{0,6}"
    r"((?:[A-HJ-NPR-Za-hj-npr-z0-9][ -]?){16}[A-HJ-NPR-Za-hj-npr-z0-9])(?![A-Za-z0-9])"
)
_VIN_PIECE: Final = re.compile(
    r"(?i:\bvin\b|\bchassis\b|\bfin\b)[^.;\n]{0,30}?(?<![A-Za-z0-9])"
    r"([A-HJ-NPR-Z0-9]{0,12}[0-9]{4,}[A-HJ-NPR-Z0-9]{0,4})(?![A-Za-z0-9])"
)
_ORDER: Final = re.compile(
    r"(?:(?i:\b(?:work|repair|service)[\s-]?order|\bjob[\s-]?(?:card|sheet|no\b|number|#)|"
    r"\border\s?(?:no\b|number|nr\b|id\b|#)|\binvoice(?:\s?(?:no\b|number|nr\b))?|\bestimate\s(?:no\b|number)|"
    r"\bauftrag(?:snummer|snr)?\b|\bticket\b|\bbooking\s(?:no\b|ref)|\bpedido\b|"
    r"\b[rw]o\s?#|\binv\b\.?|(?<!firing )(?<!injection )\b(?:job|order):?\s(?=\d{5})|\bw/o\s(?=\d{5})|"
    r"\bcustomer\s(?:no\b|number|id\b|account))|\bRO\b|\bR/O\b|\bWO\b)"
    r"[\s.:#]{0,3}(?i:(?:no|nr|number|was|is)\b[\s.:#]{0,2})?"
    r"([A-Za-z]{0,4}[-/ ]?[0-9][0-9A-Za-z]*(?:[-/][0-9A-Za-z]+)*)"
)
_MONTHS: Final = (
    "January|February|March|April|May|June|July|August|September|October|November|December|Jan|Feb|Mar|Apr|Jun|Jul|Aug|Sept?|"
    "Oct|Nov|Dec"
)
_ISO: Final = re.compile(
    r"(?<![\d-])((?:19|20)\d\d-(?:0[1-9]|1[0-2]))-[0-3]\d(?:[T ][0-2]\d:[0-5]\d(?::[0-5]\d(?:\.\d+)?)?"
    r"(?:Z|[+-]\d\d:?\d\d)?)?(?![\d-])"
)
_DOTTED: Final = re.compile(r"(?<![\d.])[0-3]?\d\.(0?[1-9]|1[0-2])\.((?:19|20)\d\d)(?![\d.]\d|\d)")
_SLASHED: Final = re.compile(r"(?<![\d/])[0-3]?\d/[0-3]?\d/((?:19|20)\d\d)(?![\d/])")
_DAY_MONTH: Final = re.compile(rf"\b[0-3]?\d(?:st|nd|rd|th)?\s(?:of\s)?({_MONTHS})\b\.?(,?\s(?:19|20)\d\d)?")
_MONTH_DAY: Final = re.compile(rf"\b({_MONTHS})\.?\s[0-3]?\d(?:st|nd|rd|th)?\b(?!\s?(?:km|mm|V|%))(,?\s(?:19|20)\d\d)?")
_DISTANCE: Final = re.compile(
    r"(?<![\w.,])(\d{1,3}(?:[ .,'\u00a0\u202f]\d{3})|\d{5,6})(?=\s?(?:km|kms|mi|miles|kilomet(?:er|re)s)\b)"
)
_SMALLEST_ODOMETER: Final = 5000


def find_emails(text: str) -> Iterator[Span]:
    """Yields every e-mail address, also those written with *at* and *dot*."""
    if "@" in text or "at" in text.lower():
        for match in _EMAIL.finditer(text):
            yield Span(match.start(), match.end(), "email", MARKS["email"])


def find_vin_spans(text: str) -> Iterator[Span]:
    """Yields every VIN: its first eight characters may stay. A piece of one goes whole."""
    for found in find_vins(text):
        yield Span(found.start, found.end, "vin", shared_vin(found.vin.text))
    for match in _SPACED_VIN.finditer(text):
        if read_vin(match[1]).value:
            yield Span(match.start(1), match.end(1), "vin", shared_vin(match[1]))
    for match in _VIN_PIECE.finditer(text):
        if 6 <= len(match[1]) <= 17:
            yield Span(match.start(1), match.end(1), "vin", MARKS["vin"])


def shared_vin(text: str) -> str:
    """Returns what may stay of a VIN: eight characters and a sign that there was more."""
    return fold_vin(text)[:SHARED_LENGTH] + "…"


def find_orders(text: str) -> Iterator[Span]:
    """Yields every order, job or invoice number that follows such a word."""
    for match in _ORDER.finditer(text):
        if sum(char.isdigit() for char in match[1]) >= 3:
            yield Span(match.start(1), match.end(1), "order_number", MARKS["order_number"])


def find_dates(text: str) -> Iterator[Span]:
    """Yields every date with a day; its month and year stay (the year only where the order is not known)."""
    for match in _ISO.finditer(text):
        yield Span(match.start(), match.end(), "date", match[1])
    for match in _DOTTED.finditer(text):
        yield Span(match.start(), match.end(), "date", f"{match[1]:0>2}.{match[2]}")
    for match in _SLASHED.finditer(text):
        yield Span(match.start(), match.end(), "date", match[1])
    for pattern in (_DAY_MONTH, _MONTH_DAY):
        for match in pattern.finditer(text):
            yield Span(match.start(), match.end(), "date", match[1] + (match[2] or ""))


def find_distances(text: str) -> Iterator[Span]:
    """Yields every distance so exact that it can only be an odometer's."""
    for match in _DISTANCE.finditer(text):
        value = int(re.sub(r"\D", "", match[1]))
        if value >= _SMALLEST_ODOMETER and value % 100 and rounded(value) != value:
            yield Span(match.start(1), match.end(1), "odometer", rounded_text(match[1]))
