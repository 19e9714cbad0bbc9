from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.lookup.words import content_stems, normalize, read_word, stem, tokens


def _terms(text: str) -> set[str]:
    return {term for token in tokens(text) if not token.word.stop for term in (*token.word.terms, *token.extra)}


def test_short_and_trade_tokens_are_kept() -> None:
    assert {"can", "4x4", "p0171", "no", "on", "off", "12v", "o2"} <= _terms("CAN 4x4 P0171 no on off 12V O2")


def test_part_numbers_with_hyphens_are_found_whole_and_by_their_parts() -> None:
    assert {"042291b", "04", "2291", "b"} <= _terms("04-2291-B")
    assert read_word("04-2291-B").terms[0] == read_word("04.2291.B").terms[0] == read_word("042291B").terms[0]


def test_decimal_comma_and_point_are_one_number() -> None:
    assert _terms("0,3") == _terms("0.3") == {"0.3"}


def test_a_unit_is_found_joined_or_apart() -> None:
    assert "12v" in _terms("12 V at the post") & _terms("12V at the post")
    assert "12v" not in _terms("12 cylinders")


def test_hyphenated_words_are_found_joined_or_apart() -> None:
    assert _terms("antilock") <= _terms("anti-lock")
    assert _terms("plug in") <= _terms("plug-in")


def test_word_forms_share_a_stem() -> None:
    for forms in (
        "leak leaks leaked leaking",
        "sink sinks sank sunk sinking",
        "overheat overheats overheating overheated",
        "pulse pulsation pulsates",
        "wire wires wiring",
        "stick sticks stuck",
        "tyre tyres tire tires",
    ):
        assert len({stem(form) for form in forms.split()}) == 1, forms


def test_distinct_concerns_keep_distinct_stems() -> None:
    assert len({stem(word) for word in ("low", "spongy", "sinking", "hard", "pulsating")}) == 5


def test_negation_reaches_the_next_content_word_of_its_sentence() -> None:
    assert "¬crank" in _terms("does not crank")
    assert "¬crank" in _terms("won't even crank")
    assert "¬start" in _terms("cranks but does not start")
    assert "¬crank" not in _terms("cranks but does not start")
    assert "¬crank" not in _terms("Not now. Cranks slowly")


def test_contractions_negate() -> None:
    assert "¬start" in _terms("won't start") & _terms("wont start") & _terms("doesn’t start") & _terms("cannot start")


def test_accents_case_and_width_do_not_matter() -> None:
    assert normalize("ÉLAN") == normalize("elan") == normalize("ｅｌａｎ") == "elan"


def test_other_scripts_are_words() -> None:
    assert "тормоз" in _terms("Тормоз мягкий")
    assert "בלם" in _terms("בלם רך")
    assert _terms("ブレーキ")
    assert _terms("刹车踏板") & _terms("踏板软")


def test_content_stems_leave_light_words_out_unless_there_are_no_others() -> None:
    assert content_stems("on the left front caliper") == {"calip"}
    assert content_stems("left") == {"left"}


def test_places_count_in_the_text_as_it_was_written() -> None:
    text = "Ärger: pedal ﬁrm, 12 V"
    assert [text[token.start : token.end] for token in tokens(text)] == ["Ärger", "pedal", "ﬁrm", "12", "V"]


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=300))
def test_any_text_gives_ordered_places_and_short_terms(text: str) -> None:
    at = 0
    for token in tokens(text):
        assert at <= token.start < token.end <= len(text)
        at = token.end
        assert all(0 < len(term) <= 64 for term in (*token.word.terms, *token.word.plain))
