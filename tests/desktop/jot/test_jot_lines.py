from hypothesis import given
from hypothesis import strategies as st

from kbapp.desktop.jot.lines import JOT_LINES, JotText

TEXT = st.text(max_size=40)


@given(TEXT, TEXT, TEXT, TEXT, TEXT)
def test_a_draft_gives_the_lines_back(one: str, two: str, three: str, four: str, five: str) -> None:
    text = JotText(one, two, three, four, five)
    assert JotText.from_draft(text.to_draft()) == text


@given(TEXT)
def test_a_draft_that_is_no_jot_is_kept_as_it_stands(text: str) -> None:
    kept = JotText.from_draft(text)
    assert kept.concern == text or not text.strip() or kept == JotText()


def test_the_lines_are_the_fields_of_a_jot() -> None:
    assert [line.name for line in JOT_LINES] == ["concern", "vehicle", "tried", "split", "fixed"]
    assert JotText().blank
    assert JotText(fixed=" \n").blank
    assert not JotText(fixed="pump").blank
