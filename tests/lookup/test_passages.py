import re

from kbapp.lookup.passages import LONGEST, Quoter, Spellings
from kbapp.lookup.question import Passage


def _quote(texts: dict[str, str], *terms: str, phrase: str = "") -> tuple[Passage, ...]:
    phrases = (re.compile(phrase),) if phrase else ()
    return Quoter(frozenset(terms), phrases, Spellings()).quote([texts])[0]


def _marked(passage: Passage) -> list[str]:
    return [passage.text[start:end] for start, end in passage.spans]


def test_word_forms_are_marked() -> None:
    found = _quote({"concern": "Pedal sinks; it sank before, sinking again"}, "sink")
    assert _marked(found[0]) == ["sinks", "sank", "sinking"]


def test_concern_and_cause_always_and_one_other_that_says_more() -> None:
    texts = {
        "concern": "pedal low",
        "cause": "air",
        "notes": "pedal again",
        "lesson": "look at the bleeder first",
        "number": "bleeder",
    }
    assert [one.field for one in _quote(texts, "pedal", "bleeder")] == ["concern", "cause", "lesson"]
    assert [one.field for one in _quote(texts, "nothing")] == ["concern", "cause"]


def test_a_long_text_is_cut_around_its_matches() -> None:
    text = "word " * 200 + "the bleeder sits low and the bleeder leaks " + "more " * 200
    passage = _quote({"concern": text}, "bleeder", "leak")[0]
    assert len(passage.text) <= LONGEST + 20
    assert _marked(passage) == ["bleeder", "bleeder", "leaks"]


def test_overlapping_phrase_and_words_become_one_mark() -> None:
    assert _marked(_quote({"concern": "a low pedal"}, "low", "pedal", phrase="low pedal")[0]) == ["low pedal"]


def test_spellings_learned_from_one_case_serve_the_next() -> None:
    spellings = Spellings()
    spellings.learn({"leaks", "Leaking", "leak-off", "pump"})
    assert spellings.of(frozenset({"leak"})) == {"leaks", "Leaking", "leak-off"}
    assert spellings.of(frozenset({"nosuch"})) == set()
