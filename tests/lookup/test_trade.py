"""The trade's table holds together: known concerns only, nothing merged that must stay apart."""

from itertools import combinations

from kbapp.lookup.synonyms import key_of
from kbapp.lookup.trade import AMBIGUOUS, SAME, SAYINGS
from kbapp.lookup.word_lists import FORMS, LIGHT_WORDS, NEGATIONS, STOP_WORDS, UNITS
from kbapp.lookup.words import normalize
from kbapp.records.symptoms import symptom, symptoms


def test_every_saying_means_concerns_of_the_vocabulary() -> None:
    unknown = {meant for several in SAYINGS.values() for meant in several if symptom(meant) is None}
    assert unknown == set()


def test_everything_is_written_plainly() -> None:
    words = [name for names in SAME for name in names] + list(SAYINGS) + list(FORMS) + list(AMBIGUOUS)
    assert [word for word in words if normalize(word) != word or "'" in word] == []


def test_no_key_is_empty_or_said_twice() -> None:
    keys = [key_of(saying) for saying in SAYINGS]
    assert all(keys)
    twice = {key for key in keys if keys.count(key) > 1}
    assert all(len({SAYINGS[saying] for saying in SAYINGS if key_of(saying) == key}) == 1 for key in twice), twice
    assert all(key_of(name) for names in SAME for name in names)


def test_names_of_one_thing_differ() -> None:
    for names in SAME:
        assert len(names) > 1
        assert len({key_of(name) for name in names}) > 1, names


def test_distinct_concerns_are_never_names_of_one_thing() -> None:
    concerns = {key_of(one.term) for one in symptoms()}
    for names in SAME:
        keys = {key_of(name) for name in names}
        merged = list(combinations(sorted(keys & concerns), 2))
        assert merged == [], names


def test_pedal_concerns_stay_apart() -> None:
    for words in (("low", "spongy"), ("low", "sinking"), ("spongy", "sinking"), ("hard", "low")):
        for names in SAME:
            text = set(" ".join(names).split())
            assert not set(words) <= text, names


def test_ambiguous_terms_stand_for_nothing() -> None:
    assert [name for names in SAME for name in names if name in AMBIGUOUS] == []


def test_word_classes_do_not_overlap() -> None:
    assert set() == STOP_WORDS & LIGHT_WORDS
    assert NEGATIONS <= LIGHT_WORDS
    assert all(unit == unit.casefold() for unit in UNITS)
