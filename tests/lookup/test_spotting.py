"""What people say is recognised as the concern they mean; opposites and look-alikes stay apart."""

from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.lookup.lay_words import LAY_WORDS
from kbapp.lookup.spotting import slots_of, spot
from kbapp.lookup.words import tokens
from kbapp.records.symptoms import symptom, symptoms
from tests.lookup.spoken import Said, sentences

SENTENCES = sentences()


def test_every_concern_has_patterns_and_every_slot_has_words() -> None:
    assert set(LAY_WORDS) <= {one.term for one in symptoms()}
    for concern, patterns in LAY_WORDS.items():
        assert symptom(concern), concern
        assert patterns, concern
        for pattern in patterns:
            assert all(slot and all(slot) for slot in slots_of(pattern)), (concern, pattern)
            assert all(word for slot in pattern.split() for word in slot.split("|")), (concern, pattern)


@pytest.mark.parametrize("said", SENTENCES, ids=lambda said: said.text)
def test_sentences_name_what_they_mean(said: Said) -> None:
    named = [one.concern for one in spot(said.text) if one.weight >= 0.15]
    assert not said.must or said.must in named[:3], named
    assert set(said.never) & set(named) == set()


def test_sentences_cover_the_vocabulary() -> None:
    assert len(SENTENCES) >= 150
    assert len({said.must for said in SENTENCES if said.must}) >= 115


def test_order_does_not_matter() -> None:
    assert spot("at the lights the pedal sinks")[0].concern == spot("the pedal sinks at the lights")[0].concern


def test_concerns_on_the_same_words_share_their_weight() -> None:
    found = spot("shakes when braking")
    assert {"pedal pulsation", "steering vibration"} & {one.concern for one in found}
    for one in found:
        rivals = [other for other in found if other.places & one.places]
        assert len(rivals) == 1 or one.weight < 1.0


def test_places_are_those_of_the_words_it_stands_on() -> None:
    text = "since May, the brake pedal is spongy"
    words = tuple(tokens(text))
    found = next(one for one in spot(text) if one.concern == "spongy pedal")
    assert "spongy" in {text[words[at].start : words[at].end] for at in found.places}


def test_a_long_text_takes_little_time() -> None:
    text = " ".join(said.text for said in SENTENCES)[:5000]
    spot(text)
    started = perf_counter()
    spot(text)
    assert perf_counter() - started < 0.25


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_read_and_weights_are_shares(text: str) -> None:
    count = len(tuple(tokens(text)))
    for one in spot(text):
        assert 0 < one.weight <= 1
        assert all(0 <= at < count for at in one.places)
