"""Vehicle identification numbers: shape, check digit, the model years they can mean, and what of one may be shared.

Source: US 49 CFR 565.13 and 565.15; ISO 3779 and 3780. A check digit that agrees proves nothing (of the 512 slips of
one character some 37 keep it) and most of the world does not use it, so no answer here is called verified, every year
is an offer, and no maker is read from a number.
"""

import re
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.records.fault import Checked, Fault, shorten

LENGTH: Final = 17
SHARED_LENGTH: Final = 8

CheckDigit = Literal["agrees", "disagrees", "not_applicable"]
YearBasis = Literal["position_7", "calendar"]

_LETTERS: Final = "ABCDEFGHJKLMNPRSTUVWXYZ"
_VALUES: Final = dict(zip(_LETTERS + "0123456789", map(int, "123456781234579234567890123456789"), strict=True))
_WEIGHTS: Final = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_YEARS: Final = "ABCDEFGHJKLMNPRSTVWXY123456789"
_FIRST_YEAR: Final = 1980
_CYCLE: Final = 30
# ISO 3780: first characters 1 to 5 are North America, where the check digit is law.
_NORTH_AMERICA: Final = frozenset("12345")
# Only these 26 letters are folded: str.upper() would turn the long s (U+017F) into an S.
_FOLD: Final = str.maketrans("abcdefghijklmnopqrstuvwxyz", "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
_SEPARATORS: Final = re.compile(r"[\s\-\u2010-\u2013._*]+")
_IN_TEXT: Final = re.compile(rf"(?<![A-Za-z0-9])[{_LETTERS}{_LETTERS.lower()}0-9]{{17}}(?![A-Za-z0-9])")
# What a reader or a typist most often meant by a letter no number has.
_MEANT: Final = {"I": "1", "O": "0", "Q": "0"}


@dataclass(frozen=True, slots=True)
class ModelYears:
    """The model years position 10 can mean; ``likelier`` with its ``basis``, None where nothing tells them apart."""

    years: tuple[int, ...] = ()
    likelier: int | None = None
    basis: YearBasis | None = None


@dataclass(frozen=True, slots=True)
class SharedVin:
    """What of a VIN may leave the book: its first 8 characters, and the model year where it is known."""

    start: str = ""
    model_year: int | None = None

    def __str__(self) -> str:
        return " ".join(str(part) for part in (self.start, self.model_year) if part)


@dataclass(frozen=True, slots=True)
class Vin:
    """A number of the right shape: 17 of A to Z without I, O and Q, and digits."""

    text: str

    @property
    def north_american(self) -> bool:
        """Whether the number belongs to the region in which the check digit is law."""
        return self.text[0] in _NORTH_AMERICA

    @property
    def check_digit(self) -> CheckDigit:
        """Whether position 9 fits the other sixteen; ``not_applicable`` outside North America."""
        if not self.north_american:
            return "not_applicable"
        return "agrees" if self.text[8] == expected_check_digit(self.text) else "disagrees"

    def model_years(self, latest: int | None = None) -> ModelYears:
        """Returns the years position 10 can mean. ``latest``: the latest model year that can exist (next year's).

        Position 7 (a digit: 1980 to 2009, a letter: 2010 to 2039) holds for North American cars and light trucks only
        and the number does not say whether it is one: the likelier year is a suggestion.
        """
        place = _YEARS.find(self.text[9])
        if place < 0:
            return ModelYears()
        years = (_FIRST_YEAR + place, _FIRST_YEAR + _CYCLE + place)
        if latest is not None and years[1] > latest:
            return ModelYears(years, years[0], "calendar") if years[0] <= latest else ModelYears(years)
        if not self.north_american:
            return ModelYears(years)
        return ModelYears(years, years[0] if self.text[6].isdigit() else years[1], "position_7")


@dataclass(frozen=True, slots=True)
class FoundVin:
    """A VIN found in running text, at characters ``start`` to ``end``."""

    vin: Vin
    start: int
    end: int


def fold_vin(text: str) -> str:
    """Returns typed or scanned text as a VIN is written: capitals, no spaces, hyphens or Code 39 asterisks.

    The leading I that door-jamb bar codes carry before the 17 characters is dropped; nothing else is guessed.
    """
    folded = _SEPARATORS.sub("", text).translate(_FOLD)
    return folded[1:] if len(folded) == LENGTH + 1 and folded.startswith("I") else folded


def read_vin(text: str) -> Checked[Vin]:
    """Returns the VIN in typed or scanned text, or what keeps it from being one (length, characters), all at once."""
    folded = fold_vin(text)
    faults = [_character_fault(n, char) for n, char in enumerate(folded[:100]) if char not in _VALUES]
    if len(folded) != LENGTH:
        faults.insert(0, Fault("vin", "vin_length", str(len(folded)), str(LENGTH)))
    return Checked(None if faults else Vin(folded), tuple(faults))


def _character_fault(place: int, char: str) -> Fault:
    if char in _MEANT:
        return Fault(f"vin.{place}", "vin_letter", char, _MEANT[char])
    return Fault(f"vin.{place}", "vin_character", shorten(char))


def expected_check_digit(text: str) -> str:
    """Returns the digit (or X) position 9 should be for 17 characters of the right shape."""
    rest = sum(_VALUES[char] * weight for char, weight in zip(text, _WEIGHTS, strict=True)) % 11
    return "X" if rest == 10 else str(rest)


def vin_for_sharing(text: str, model_year: int | None = None) -> SharedVin:
    """Returns at most the first 8 characters of a VIN, and the model year if it is given.

    A text of another shape gives no characters at all: a short number of an old vehicle would be shared whole.
    """
    vin = read_vin(text).value
    return SharedVin(vin.text[:SHARED_LENGTH] if vin else "", model_year)


def find_vins(text: str) -> tuple[FoundVin, ...]:
    """Returns every VIN written in one piece in running text; a word without a digit in it is none."""
    return tuple(
        FoundVin(Vin(match[0].translate(_FOLD)), match.start(), match.end())
        for match in _IN_TEXT.finditer(text)
        if any(char.isdigit() for char in match[0])
    )
