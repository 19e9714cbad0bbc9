from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.packs.blank.finding import blanked, find_spans, without
from kbapp.packs.blank.listed import Listed
from tests.packs.planted import FREE_TEXT, LOOK_ALIKES
from tests.packs.world import PRIVATE

PIECES = [text for text, _, _ in FREE_TEXT] + list(LOOK_ALIKES)
TEXTS = st.lists(st.sampled_from(PIECES) | st.text(max_size=12), max_size=5).map(" ".join)


@settings(max_examples=150)
@given(TEXTS, st.sampled_from(["running", "term", "file"]))
def test_spans_are_sorted_apart_and_inside(text: str, care: str) -> None:
    spans = find_spans(text, Listed((PRIVATE,)), care)  # type: ignore[arg-type]
    at = 0
    for span in spans:
        assert at <= span.start < span.end <= len(text)
        at = span.end


@settings(max_examples=150)
@given(TEXTS)
def test_nothing_is_found_in_what_is_left(text: str) -> None:
    listed = Listed((PRIVATE,))
    out = blanked(text, listed, "running", lambda _text, _span: False)
    assert find_spans(out, listed, "running") == ()


@given(st.text(max_size=60))
def test_what_is_kept_stays(text: str) -> None:
    assert blanked(text, Listed((PRIVATE,)), "running", lambda _text, _span: True) == text


def test_without_replaces_from_left_to_right() -> None:
    text = "call 01632 960112 or 01632 960113"
    assert without(text, find_spans(text, Listed(()), "running")) == "call [phone] or [phone]"
