"""Trouble codes (SAE J2012 / ISO 15031-6): as people type them, as modules send them, and how near two of them are.

No descriptions: the shop's own cases say what a code came to.
"""

import re
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.errors import InputError
from kbapp.records.fault import shorten

Letter = Literal["P", "C", "B", "U"]
Origin = Literal["standard", "maker", "reserved"]
Nearness = Literal["same", "group", "none"]

# Bits 15 and 14 of the two bytes a module sends.
_LETTERS: Final[tuple[Letter, ...]] = ("P", "C", "B", "U")
_TYPED: Final = re.compile(
    r"(?P<letter>[PCBU])[ \-.]?(?P<digits>[0-3O][0-9A-FO]{3})(?: ?[-:/]? ?(?P<failure>[0-9A-F]{2})H?)?", re.ASCII
)
_ZERO: Final = str.maketrans("O", "0")


@dataclass(frozen=True, slots=True)
class TroubleCode:
    """A code of the standard's form: ``number`` holds bits 13 to 0, ``failure_type`` the third byte, if any."""

    letter: Letter
    number: int
    failure_type: int | None = None

    @property
    def base(self) -> str:
        """The code in five characters, without the failure type."""
        return f"{self.letter}{self.number:04X}"

    @property
    def text(self) -> str:
        """The code as it is written: with the failure type where it says something (00 says nothing)."""
        return f"{self.base}-{self.failure_type:02X}" if self.failure_type else self.base

    @property
    def group(self) -> str:
        """The family of related codes: the first four characters; the first three for network codes.

        Common practice: of network codes the third and fourth digit name the module that is not heard.
        """
        return self.base[:3] if self.letter == "U" else self.base[:4]

    @property
    def origin(self) -> Origin:
        """Whether the standard or the maker defines the code.

        Source: SAE J2012 for P0 to P3; C, B and U from memory (0 standard; 1 and 2 maker; 3 reserved, for U standard).
        """
        first = self.number >> 12
        if self.letter == "P":
            return "maker" if first == 1 or 0x3000 <= self.number < 0x3400 else "standard"
        if first in (1, 2):
            return "maker"
        return "standard" if first == 0 or self.letter == "U" else "reserved"

    def encode(self) -> bytes:
        """Returns the two bytes a module sends, three with a failure type."""
        word = _LETTERS.index(self.letter) << 14 | self.number
        last = b"" if self.failure_type is None else bytes([self.failure_type])
        return word.to_bytes(2, "big") + last


def parse_code(text: str) -> TroubleCode | None:
    """Returns the code in a field's text as people type it, or None for anything else.

    Taken are small letters, a space, hyphen or point after the letter, O for zero, and a failure type of two
    hexadecimal digits behind a hyphen, colon, slash, space or nothing (``p0171``, ``P 0171``, ``U0073-04``, ``PO171``).
    """
    if not text.isascii():
        return None
    match = _TYPED.fullmatch(text.strip().upper())
    return _from_match(match) if match else None


def _from_match(match: re.Match[str]) -> TroubleCode:
    letter: Letter = next(known for known in _LETTERS if known == match["letter"].upper())
    failure = match["failure"]
    number = int(match["digits"].upper().translate(_ZERO), 16)
    return TroubleCode(letter, number, int(failure, 16) if failure else None)


def decode_code(data: bytes) -> TroubleCode:
    """Returns the code in the two or three bytes a module sends.

    Raises:
        InputError: ``code_length`` where there are more or fewer bytes.
    """
    if len(data) not in (2, 3):
        raise InputError("code_length", found=len(data))
    word = int.from_bytes(data[:2], "big")
    return TroubleCode(_LETTERS[word >> 14], word & 0x3FFF, data[2] if len(data) == 3 else None)


def decode_hex(text: str) -> TroubleCode:
    """Returns the code in four or six hexadecimal digits (``0133``, ``C0 73 04``).

    Raises:
        InputError: ``code_hex`` for other characters, ``code_length`` for another length.
    """
    try:
        data = bytes.fromhex(text)
    except ValueError:
        raise InputError("code_hex", found=shorten(text)) from None
    return decode_code(data)


def similarity(one: str, other: str) -> Nearness:
    """Returns how near two codes are: the same code (whatever its failure type), the same group, or neither.

    A maker's own code of another form is only ever the same as itself.
    """
    a, b = parse_code(one), parse_code(other)
    if a is None or b is None:
        return "same" if _folded(one) == _folded(other) else "none"
    if a.base == b.base:
        return "same"
    return "group" if a.group == b.group else "none"


def _folded(text: str) -> str:
    return "".join(text.split()).casefold()
