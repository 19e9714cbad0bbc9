from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.lookup.parse import LONGEST, read


def test_quotes_of_any_kind_make_phrases() -> None:
    for text in ('"low pedal"', "“low pedal”", "«low pedal»", "„low pedal“"):
        phrases = read(text).phrases
        assert len(phrases) == 1
        assert phrases[0].search("A LOW  pedal, firm")
        assert not phrases[0].search("low brake pedal")
        assert not phrases[0].search("slow pedals")


def test_an_unbalanced_quote_is_ignored() -> None:
    assert read('"low pedal').phrases == ()
    assert [read(text).phrases for text in ('"', '""', '"..."', '" "')] == [(), (), (), ()]


def test_codes_are_found_in_a_pasted_report() -> None:
    report = "Engine control module\n  P 0171  stored\n  p0174-00 pending\nABS: C0035\nnothing else"
    assert read(report).codes == ("P0171", "P0174", "C0035")


def test_case_numbers_and_ids_are_names() -> None:
    assert "2026-0147" in read("look at 2026-0147, please").names
    assert "5d8f1f0e-3c1b-4d57-8a63-6f1f0a1c9b42" in read("5D8F1F0E-3c1b-4d57-8a63-6f1f0a1c9b42").names
    assert read("pedal sinks").names == ()


def test_unfinished_only_in_the_middle_of_a_word() -> None:
    assert read("low ped").unfinished
    assert not read("low pedal ").unfinished
    assert not read("").unfinished


def test_very_long_text_is_cut() -> None:
    assert len(read("pedal " * 10_000).text) == LONGEST


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet=st.characters(), max_size=400))
def test_nothing_typed_fails(text: str) -> None:
    reading = read(text)
    assert all(0 < len(name) <= 120 for name in reading.names)


def test_half_a_character_does_not_fail() -> None:
    assert read("pedal \ud83d low").words
