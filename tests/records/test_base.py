import sys
import unicodedata
from typing import Annotated

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from pydantic import Field, ValidationError

from kbapp.records.base import (
    WHOLE,
    Flag,
    Line,
    Minutes,
    Number,
    ReasonText,
    Record,
    RequiredText,
    Text,
    Word,
    clean_text,
    is_forbidden_character,
)

REORDERING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


class Sample(Record):
    word: Word = "x"
    line: Line = ""
    text: Text = ""
    required: RequiredText = "x"
    reason: ReasonText = "ten letters"
    number: Number = 1.0
    minutes: Minutes = 0.0
    count: Annotated[int, Field(ge=1, le=9), WHOLE] = 1
    flag: Flag = False


def _error(**fields: object) -> str:
    with pytest.raises(ValidationError) as caught:
        Sample.model_validate(fields)
    return caught.value.errors()[0]["type"]


def test_the_forbidden_characters_are_controls_surrogates_and_reordering_marks() -> None:
    for point in [*range(0x3000), *range(0xD7F0, 0x10010), *range(0, sys.maxunicode, 997)]:
        char = chr(point)
        expected = unicodedata.category(char) in ("Cc", "Cs") or char in REORDERING
        assert is_forbidden_character(char, lines=True) == (expected and char not in "\t\n")
        assert is_forbidden_character(char, lines=False) == (expected or char in "\u2028\u2029")


@example("0 \x1b\r0", False)
@given(st.text(), st.booleans())
def test_cleaned_text_is_taken(text: str, lines: bool) -> None:
    cleaned = clean_text(text, lines=lines)
    assert not any(is_forbidden_character(char, lines=lines) for char in cleaned)
    assert clean_text(cleaned, lines=lines) == cleaned
    assert not lines or Sample(text=cleaned).text == cleaned


def test_cleaning_keeps_words_apart_and_lines_in_lines() -> None:
    assert clean_text("a\r\nb\rc\x0bd\u2028e\x00f") == "a\nb\nc\nd\nef"
    assert clean_text(" a\r\n b\tc ", lines=False) == "a b c"


@pytest.mark.parametrize("value", [True, False, "5", "", None, [], {}])
def test_only_numbers_are_numbers(value: object) -> None:
    assert _error(number=value) == "float_type"
    assert _error(minutes=value) == "float_type"
    assert _error(count=value) == "int_type"


@pytest.mark.parametrize("value", [0, 1, "true", "yes", None, 1.0])
def test_only_true_and_false_are_flags(value: object) -> None:
    assert _error(flag=value) == "bool_type"


def test_numbers_have_limits_and_are_finite() -> None:
    assert _error(number=float("nan")) == "finite_number"
    assert _error(number=float("inf")) == "finite_number"
    assert _error(minutes=-0.1) == "greater_than_equal"
    assert _error(minutes=100_001) == "less_than_equal"
    assert _error(number=2.0**53) == "less_than_equal"
    assert _error(number=-(2.0**53)) == "greater_than_equal"
    assert _error(count=2.5) == "int_from_float"
    assert Sample.model_validate({"count": 3.0}).count == 3


def test_whole_numbers_are_written_whole() -> None:
    assert Sample(number=104.0, minutes=2.5).plain() == {"number": 104, "minutes": 2.5}
    assert isinstance(Sample(number=104.0).plain()["number"], int)
    assert Sample(number=2.0**53 - 1).plain() == {"number": 2**53 - 1}


def test_texts_have_limits() -> None:
    assert _error(word="") == "string_too_short"
    assert _error(word="x" * 121) == "string_too_long"
    assert _error(word=" \u3000 ") == "blank"
    assert _error(line="a\nb") == "forbidden_character"
    assert _error(line="a\u2028b") == "forbidden_character"
    assert _error(text="\u202egnp.exe") == "forbidden_character"
    assert _error(required="\n\n") == "blank"
    assert _error(reason="too short") == "string_too_short"
    assert _error(reason=" " * 12) == "blank"
    assert _error(unknown=1) == "extra_forbidden"
    assert Sample(text="a\tb\nc", line="עברית עם טקסט", word="😀").line == "עברית עם טקסט"


def test_records_are_frozen() -> None:
    with pytest.raises(ValidationError, match="frozen"):
        Sample().word = "y"  # type: ignore[misc]
