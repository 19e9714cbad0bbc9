"""The ground every record stands on: frozen, typed, no unknown fields, text that can be shown safely."""

import unicodedata
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, StringConstraints
from pydantic_core import PydanticCustomError

# Controls that reorder what a reader sees; the letters of right-to-left scripts themselves are welcome.
_REORDERING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def is_forbidden_character(char: str, *, lines: bool) -> bool:
    """Returns whether a character may not stand in a text (``lines``: tab and line feed may)."""
    if char in "\t\n":
        return not lines
    return char in _REORDERING or unicodedata.category(char) in ("Cc", "Cs")


def clean_text(text: str, *, lines: bool = True) -> str:
    """Returns typed or pasted text without the characters a record refuses; carriage returns become line feeds."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not lines:
        text = " ".join(text.split())
    return "".join(char for char in text if not is_forbidden_character(char, lines=lines)).strip()


def _checked(text: str, *, lines: bool) -> str:
    for place, char in enumerate(text):
        if is_forbidden_character(char, lines=lines):
            raise PydanticCustomError(
                "forbidden_character",
                "character {char} at {place}",
                {"char": f"U+{ord(char):04X}", "place": place},
            )
    return text


def _line(text: str) -> str:
    return _checked(text, lines=False)


def _lines(text: str) -> str:
    return _checked(text, lines=True)


def _not_blank(text: str) -> str:
    if not text.strip():
        raise PydanticCustomError("blank", "blank text", {})
    return text


Line = Annotated[str, StringConstraints(max_length=500), AfterValidator(_line)]
"""One line of text, at most 500 characters."""
Word = Annotated[
    str, StringConstraints(min_length=1, max_length=120), AfterValidator(_line), AfterValidator(_not_blank)
]
"""A name or identifier: one line, 1 to 120 characters, not blank."""
Text = Annotated[str, StringConstraints(max_length=20_000), AfterValidator(_lines)]
"""Text of several lines, at most 20,000 characters."""
LongText = Annotated[str, StringConstraints(max_length=200_000), AfterValidator(_lines)]
"""Running text (Markdown), at most 200,000 characters."""
RequiredText = Annotated[str, StringConstraints(max_length=20_000), AfterValidator(_lines), AfterValidator(_not_blank)]
"""Text of several lines that may not be blank."""
Minutes = Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)]
"""Minutes, 0 to 100,000."""
Number = Annotated[float, Field(allow_inf_nan=False)]
"""A finite number."""


class Record(BaseModel):
    """A frozen value without unknown fields; lists are tuples."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_default=False)

    def plain(self) -> dict[str, Any]:
        """Returns the record as JSON values; fields at their default are left out, so equal records are equal JSON."""
        return self.model_dump(mode="json", exclude_defaults=True)
