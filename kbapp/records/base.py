"""The ground every record stands on: frozen, typed, no unknown fields, text that can be shown safely."""

import re
from typing import Annotated, Any, Final

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, StringConstraints
from pydantic_core import PydanticCustomError

# Controls that reorder what a reader sees; the letters of right-to-left scripts themselves are welcome.
_REORDERING: Final = "\u202a-\u202e\u2066-\u2069"
_CONTROLS: Final = r"\x00-\x08\x0b-\x1f\x7f-\x9f"
_BREAKS: Final = r"\t\n\u2028\u2029"
_NOT_IN_LINES: Final = re.compile(f"[{_CONTROLS}\ud800-\udfff{_REORDERING}]")
_NOT_IN_LINE: Final = re.compile(f"[{_CONTROLS}{_BREAKS}\ud800-\udfff{_REORDERING}]")
_LINE_BREAK: Final = re.compile("\r\n|[\r\x0b\x0c\x85\u2028\u2029]")

# The same for JSON Schema, whose patterns follow ECMA 262. Lone surrogates are left to the JSON reader: a pattern
# without the u flag would take half of every emoji for one.
_SCHEMA_CONTROLS: Final = r"\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069"
_LINES_SCHEMA: Final[dict[str, Any]] = {"not": {"pattern": f"[{_SCHEMA_CONTROLS}]"}}
_LINE_SCHEMA: Final[dict[str, Any]] = {"not": {"pattern": f"[{_SCHEMA_CONTROLS}\\t\\n\\u2028\\u2029]"}}
_NOT_BLANK_SCHEMA: Final[dict[str, Any]] = {"pattern": r"\S"}


def is_forbidden_character(char: str, *, lines: bool) -> bool:
    """Returns whether a character may not stand in a text (``lines``: tab and line feed may)."""
    return bool((_NOT_IN_LINES if lines else _NOT_IN_LINE).match(char))


def clean_text(text: str, *, lines: bool = True) -> str:
    """Returns typed or pasted text without the characters a record refuses; every kind of line end becomes ``\\n``."""
    text = _NOT_IN_LINES.sub("", _LINE_BREAK.sub("\n", text))
    return text.strip() if lines else " ".join(text.split())


def _refuse(text: str, forbidden: re.Pattern[str]) -> str:
    found = forbidden.search(text)
    if found:
        values = {"char": f"U+{ord(found[0]):04X}", "place": found.start()}
        raise PydanticCustomError("forbidden_character", "character {char} at {place}", values)
    return text


def _line(text: str) -> str:
    return _refuse(text, _NOT_IN_LINE)


def _lines(text: str) -> str:
    return _refuse(text, _NOT_IN_LINES)


def _not_blank(text: str) -> str:
    if not text.strip():
        raise PydanticCustomError("blank", "blank text", {})
    return text


def _whole_number(value: Any) -> Any:
    # pydantic would take true for 1 and "3" for 3; JSON Schema takes neither, but it does take 3.0 for 3
    if isinstance(value, (bool, str, bytes)):
        raise PydanticCustomError("int_type", "not a whole number", {})
    return value


def _plain_number(value: float) -> float | int:
    return int(value) if float(value).is_integer() and abs(value) <= SAFE_INTEGER else value


Line = Annotated[str, StringConstraints(max_length=500), AfterValidator(_line), Field(json_schema_extra=_LINE_SCHEMA)]
"""One line of text, at most 500 characters."""
Word = Annotated[
    str,
    StringConstraints(min_length=1, max_length=120),
    AfterValidator(_line),
    AfterValidator(_not_blank),
    Field(json_schema_extra=_LINE_SCHEMA | _NOT_BLANK_SCHEMA),
]
"""A name or identifier: one line, 1 to 120 characters, not blank."""
Text = Annotated[
    str, StringConstraints(max_length=20_000), AfterValidator(_lines), Field(json_schema_extra=_LINES_SCHEMA)
]
"""Text of several lines, at most 20,000 characters."""
LongText = Annotated[
    str, StringConstraints(max_length=200_000), AfterValidator(_lines), Field(json_schema_extra=_LINES_SCHEMA)
]
"""Running text (Markdown), at most 200,000 characters."""
RequiredText = Annotated[
    str,
    StringConstraints(max_length=20_000),
    AfterValidator(_lines),
    AfterValidator(_not_blank),
    Field(json_schema_extra=_LINES_SCHEMA | _NOT_BLANK_SCHEMA),
]
"""Text of several lines that may not be blank."""
ReasonText = Annotated[
    str,
    StringConstraints(min_length=10, max_length=20_000),
    AfterValidator(_lines),
    AfterValidator(_not_blank),
    Field(json_schema_extra=_LINES_SCHEMA | _NOT_BLANK_SCHEMA),
]
"""A reason in at least 10 characters."""
_LARGEST = 2**53 - 1
Number = Annotated[
    float,
    Field(strict=True, allow_inf_nan=False, ge=-_LARGEST, le=_LARGEST),
    PlainSerializer(_plain_number, when_used="json"),
]
"""A number of at most 2^53 − 1 either way, so that its JSON reads back exactly (RFC 8785); true, false and digits in
quotes are none. Whole ones are written without a decimal point."""
Minutes = Annotated[Number, Field(ge=0, le=100_000)]
"""Minutes, 0 to 100,000."""
Distance = Annotated[Number, Field(ge=0, le=10_000_000)]
"""A distance driven, 0 to 10,000,000 of its unit."""
SAFE_INTEGER: Final = 2**53 - 1
"""The largest whole number every JSON reader keeps exactly (RFC 8259 section 6)."""
WHOLE: Final = BeforeValidator(_whole_number)
"""The last word of an annotated int: ``3.0`` counts as a whole number, true, false and digits in quotes do not."""
Flag = Annotated[bool, Field(strict=True)]
"""True or false, and nothing that looks like it."""


class Record(BaseModel):
    """A frozen value without unknown fields; lists are tuples."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_default=False)

    def plain(self) -> dict[str, Any]:
        """Returns the record as JSON values; fields at their default are left out, so equal records are equal JSON."""
        return self.model_dump(mode="json", exclude_defaults=True)
