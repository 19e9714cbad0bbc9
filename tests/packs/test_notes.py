import pytest

from kbapp.packs.notes import notes_of
from tests.packs.hostile import TEXTS
from tests.packs.world import case


def test_bad_news_is_said() -> None:
    assert notes_of(case(state="came_back")) == ("came_back",)
    assert notes_of(case(state="withdrawn", withdrawn_reason="wrong vehicle")) == ("withdrawn",)


@pytest.mark.parametrize("text", TEXTS[:7])
def test_text_that_is_more_than_text_is_pointed_out(text: str) -> None:
    assert notes_of(case(notes=text)) == ("markup",)


@pytest.mark.parametrize("text", ["pressure < 3 bar", "a > b", "LF (left front) [14 mm]", "pins 1/2"])
def test_plain_text_is_not(text: str) -> None:
    assert notes_of(case(notes=text)) == ()
