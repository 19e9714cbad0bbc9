from collections import Counter
from itertools import pairwise, product

from kbapp.records import symptoms as module
from kbapp.records.symptoms import kinship, symptom, symptoms, symptoms_of
from kbapp.records.vocabulary import SYSTEMS


def test_every_term_stands_once_and_every_system_has_some() -> None:
    written = [term for groups in module._TAXONOMY.values() for terms in groups.values() for term in terms]
    assert [term for term, n in Counter(term.casefold() for term in written).items() if n > 1] == []
    assert [one.term for one in symptoms()] == written
    assert all(list(symptoms_of(system)) for system in SYSTEMS)


def test_kin_are_terms_of_the_vocabulary() -> None:
    for one, other in module._KIN:
        assert symptom(one)
        assert symptom(other)
        assert kinship(one, other) >= 0.4


def test_kinship_is_the_same_both_ways() -> None:
    terms = [one.term for one in symptoms()]
    for one, other in product(terms[::7], terms):
        assert kinship(one, other) == kinship(other, one)


def test_low_spongy_and_sinking_pedal_are_three_concerns() -> None:
    for one, other in pairwise(("low pedal", "spongy pedal", "sinking pedal", "low pedal")):
        assert kinship(one, other) == 0.5
    assert kinship("Low Pedal", "low pedal") == 1
    assert kinship("low pedal", "cranks slowly") == 0


def test_free_words_are_kin_only_of_themselves() -> None:
    assert symptom("flat on Mondays") is None
    assert kinship("Flat on Mondays", "flat on mondays") == 1
    assert kinship("flat on Mondays", "battery flat after days") == 0
