"""The tables of tests and outcomes hold together."""

from kbapp.lookup.result_words import ACTIONS, BIG_IS_BAD, LOW_IS_BAD, OUTCOME_PHRASES, SIDES, TEST_SAME
from kbapp.lookup.words import normalize, stem


def test_no_outcome_word_is_on_both_sides() -> None:
    for one, other in SIDES.values():
        assert {stem(word) for word in one.split()} & {stem(word) for word in other.split()} == set()


def test_phrases_stand_on_a_side_of_a_known_kind() -> None:
    assert {kind for kind, _ in OUTCOME_PHRASES.values()} <= set(SIDES)
    assert {side for _, side in OUTCOME_PHRASES.values()} == {1, -1}


def test_what_is_done_and_measured_has_a_line_of_names_or_is_a_plain_word() -> None:
    firsts = {names[0] for names in TEST_SAME}
    assert firsts >= ACTIONS - {"bypass"}
    assert set() == BIG_IS_BAD & LOW_IS_BAD


def test_every_line_has_several_names_written_plainly() -> None:
    for names in TEST_SAME:
        assert len(set(names)) == len(names) > 1, names
        assert [name for name in names if normalize(name) != name] == []
