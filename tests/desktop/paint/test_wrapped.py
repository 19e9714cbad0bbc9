from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtWidgets import QApplication

from kbapp.desktop.paint.wrapped import places, wrap
from kbapp.desktop.theme.look import Look

WORDS = st.text(alphabet="abc déΩ.\n-", max_size=120)


@settings(max_examples=60, deadline=None)
@given(text=WORDS, width=st.integers(30, 400))
def test_lines_fit_and_lose_no_letter(qapp: QApplication, text: str, width: int) -> None:
    look = Look("light", "desk")
    font = look.font("body")
    lines = wrap(look, text, font, width)
    assert all(len(line) <= 1 or look.measure(font).horizontalAdvance(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


@settings(max_examples=60, deadline=None)
@given(text=WORDS, width=st.integers(30, 400))
def test_places_tell_where_each_line_stood(qapp: QApplication, text: str, width: int) -> None:
    look = Look("light", "desk")
    lines = wrap(look, text, look.font("body"), width)
    for start, line in zip(places(text, lines), lines, strict=True):
        assert text[start : start + len(line)] == line
