from tests.isolation.examples import chances, look, make_map, points, ran, section, seen, situation_map
from tests.isolation.situations import SITUATIONS

SECTIONS = [section("a"), section("b"), section("c")]


def test_no_single_section_explains_two_wheels() -> None:
    for words in ("hlf:a hrf:b hlr:b hrr:a", "hlf:a hrf:b hlr:b all:b hrr:a"):
        found = look(situation_map("S01"), *seen(words)).conflict
        assert found is not None
        assert found.tests == ("hlf", "hrr")
        assert found.explanations == (("lf", "rr"),)
        assert (found.repeat, found.repeat_minutes) == ("hlf", 8)


def test_the_other_situations_have_no_conflict() -> None:
    for name, told in SITUATIONS.items():
        assert look(situation_map(name), *seen(told.seen)).conflict is None


def test_the_cheapest_conflicting_test_is_to_be_repeated() -> None:
    told = make_map(SECTIONS, [points("t", "a", run_minutes=30), points("u", "b", run_minutes=4)])
    found = look(told, ran("t"), ran("u")).conflict
    assert found is not None
    assert (found.repeat, found.repeat_minutes) == ("u", 4)


def test_weak_results_make_no_conflict() -> None:
    told = make_map(SECTIONS, [points("t", "a", strength="weak"), points("u", "b")])
    assert look(told, ran("t"), ran("u")).conflict is None


def test_what_lies_off_the_map_explains_results_against_everything_on_it() -> None:
    told = make_map(SECTIONS, [points("t", "a", "b"), points("u", "c")])
    assert look(told, ran("t", "no"), ran("u", "no")).conflict is None


def test_only_results_that_clash_are_named() -> None:
    told = make_map(SECTIONS, [points("t", "a"), points("u", "b"), points("v", "a", "b", "c")])
    found = look(told, ran("v"), ran("t"), ran("u")).conflict
    assert found is not None
    assert found.tests == ("t", "u")


def test_a_result_against_keeps_a_section_out_of_the_explanations() -> None:
    told = make_map(SECTIONS, [points("t", "a", "c"), points("u", "b", "c"), points("v", "c")])
    found = look(told, ran("t"), ran("u"), ran("v", "no")).conflict
    assert found is not None
    assert found.explanations == (("a", "b"),)


def test_results_that_leave_nothing_are_still_explained() -> None:
    told = make_map(SECTIONS, [points("t", "a"), points("u", "a", "b", strength="strong")])
    found = look(told, ran("t"), ran("u", "no")).conflict
    assert found is not None
    assert found.explanations == (("a",),)


def test_own_likelihoods_take_part() -> None:
    table = {"high": {"a": 0.9, "*": 0.05}, "low": {"a": 0.1, "*": 0.95}}
    told = make_map(SECTIONS, [chances("t", table), points("u", "b")])
    assert look(told, ran("t", "high"), ran("u")).conflict is not None
    assert look(told, ran("t", "low"), ran("u")).conflict is None
