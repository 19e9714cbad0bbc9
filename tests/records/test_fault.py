import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbapp.records.fault import Checked, DocumentFaults, Fault, json_word, shorten


@given(st.text() | st.integers() | st.floats() | st.none() | st.booleans() | st.lists(st.text()), st.integers(2, 100))
def test_a_shortened_value_is_one_printable_line(value: object, limit: int) -> None:
    short = shorten(value, limit)
    assert len(short) <= limit
    assert short.isprintable()


def test_values_are_named_as_in_json() -> None:
    values: list[object] = [None, True, False, 1, 1.5, {}, [], ()]
    assert [json_word(value) for value in values] == ["null", "true", "false", "1", "1.5", "object", "list", "list"]
    assert len(shorten(10**6000)) == 80


def test_controls_are_shown_escaped_and_long_text_is_cut() -> None:
    assert shorten("a\x00b\u202e") == "a\\u0000b\\u202e"
    assert shorten("x" * 81) == "x" * 79 + "…"
    assert shorten("x" * 80) == "x" * 80


def test_unwrap_carries_every_fault() -> None:
    faults = (Fault("a", "field_missing"), Fault("b", "text_blank"))
    refused: Checked[int] = Checked(None, faults)
    with pytest.raises(DocumentFaults) as caught:
        refused.unwrap("list.json")
    assert caught.value.faults == faults
    assert caught.value.values == {"count": 2, "source": "list.json"}
    assert Checked(5).unwrap() == 5
    assert faults[0].as_dict() == {"path": "a", "code": "field_missing", "found": "", "expected": ""}
