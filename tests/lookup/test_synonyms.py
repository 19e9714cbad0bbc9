from kbapp.lookup.synonyms import key_of, meanings, named_concerns, other_names, same_thing
from kbapp.lookup.words import content_stems


def _labels(text: str) -> set[str]:
    return {other.label for other in other_names(key_of(text))}


def _meant(text: str) -> set[str]:
    return {meaning.symptom for meaning in meanings(key_of(text))}


def test_abbreviations_and_old_names_stand_for_their_terms() -> None:
    assert "mass air flow" in _labels("maf reads low")
    assert "ckp" in _labels("the crank sensor is dead")
    assert "engine lamp" in _labels("check engine is on")
    assert "alternator" in _labels("generator")


def test_an_ambiguous_abbreviation_stands_for_nothing() -> None:
    assert _labels("esc") == _labels("cps") == set()


def test_a_saying_names_all_it_can_mean() -> None:
    assert _meant("it won't start") == {"cranks but does not start", "does not crank"}
    assert _meant("pedal goes to the floor") == {"low pedal", "sinking pedal"}
    assert _meant("soft pedal") == {"spongy pedal"}


def test_places_of_a_saying_are_told() -> None:
    meaning = meanings(key_of("my old van won't start"))[0]
    assert (meaning.start, meaning.end, meaning.among) == (2, 4, 2)


def test_concerns_named_in_other_word_forms() -> None:
    assert named_concerns("pedal sinks slowly") == ["sinking pedal"]
    assert named_concerns("engine cranks but it doesn't start") == ["cranks but does not start"]
    assert named_concerns("doesn't crank") == ["does not crank"]
    assert "does not crank" not in named_concerns("cranks slowly")
    assert "misfire" not in named_concerns("misfires at idle")


def test_one_part_by_two_names() -> None:
    assert same_thing(content_stems("alternator"), content_stems("generator"))
    assert same_thing(content_stems("MAF"), content_stems("air flow sensor"))
    assert not same_thing(content_stems("thermostat"), content_stems("water pump"))
