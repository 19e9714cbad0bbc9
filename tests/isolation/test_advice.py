import pytest

from kbapp.isolation.advice import Advice, advise
from kbapp.isolation.economics import Economics
from kbapp.isolation.learning import Learned
from kbapp.records.fault import DocumentFaults
from tests.isolation.examples import fitted, make_case, make_map, points, ran, section, seen, situation_map
from tests.isolation.reference_map import reference_map

LOW = situation_map("S01")


def _advise(words: str) -> Advice:
    return advise(make_case(*seen(words)), LOW)


def test_the_low_pedal_from_the_first_test_to_the_last() -> None:
    assert _advise("").ranking.tests[0].way.test.id == "all"
    assert _advise("hlf:a hrf:b hlr:b").ranking.tests[0].way.test.id == "all"
    done = _advise("hlf:a hrf:b hlr:b all:b hrr:b")
    assert done.picture.state("lf") == "supported"
    assert [test.way.test.id for test in done.ranking.tests] == ["plug"]
    assert done.gaps == ()


def test_two_faults_are_offered_only_in_a_conflict() -> None:
    assert _advise("hlf:a hrf:b").two_faults == ()
    found = _advise("hlf:a hrf:b hlr:b hrr:a")
    assert found.conflict is not None
    assert ("lf", "rr") in [one.sections for one in found.two_faults]


def test_what_is_asked_ranks() -> None:
    case = make_case()
    assert advise(case, reference_map()).ranking.by == "cost"
    assert advise(case, reference_map(), by="gain").ranking.tests[0].way.test.id == "T5"
    dear = advise(case, reference_map(), settings=Economics(labour_per_minute=50.0))
    assert dear.ranking.costs.test_first != advise(case, reference_map()).ranking.costs.test_first


def test_missing_kit_and_learned_counts_are_used() -> None:
    told = make_map([section("a"), section("b")], [points("t", "a", kit=["gauge"])])
    found = advise(make_case(), told, missing=frozenset({"gauge"}), learned=Learned({"a": 17}))
    assert found.ranking.tests[0].choice.ready is False
    assert found.picture.share("a") == pytest.approx((20 / 3 + 17) / 37)


def test_a_nested_map_is_read_where_it_is_given() -> None:
    outer = make_map([section("a"), section("b")], [points("t", "a")], nested=[{"section": "a", "map": "n"}])
    inner = make_map([section("x"), section("y")], [points("u", "x")], id="n")
    found = advise(make_case(ran("t"), ran("u")), outer, nested={"n": inner})
    assert [inside.map for inside in found.pinpoint] == ["n"]
    assert advise(make_case(ran("t")), outer).pinpoint == ()


def test_another_map_is_refused_with_the_fault() -> None:
    with pytest.raises(DocumentFaults) as caught:
        advise(make_case(map={"id": "other"}), LOW)
    assert [fault.code for fault in caught.value.faults] == ["case_map_differs"]


def test_lines_that_do_not_fit_are_told_and_the_rest_still_counts() -> None:
    case = make_case(ran("hlf", "a"), ran("hrf", "maybe"), ran("a free word", "yes"), fitted("hose", "roof"))
    found = advise(case, LOW)
    assert [fault.code for fault in found.faults] == ["case_outcome_unknown", "case_section_unknown"]
    assert [ignored.reason for ignored in found.evidence.ignored] == [
        "outcome_unknown",
        "free_words",
        "section_unknown",
    ]
    assert [result.name for result in found.evidence.results] == ["hlf"]


def test_after_the_repair_the_picture_is_the_one_before() -> None:
    case = make_case(*seen("hlf:a"), fitted("caliper", "lf", effect="gone"), ran("hlf", "b"))
    found = advise(case, LOW)
    assert found.repaired
    assert found.picture.share("lf") == pytest.approx(_advise("hlf:a").picture.share("lf"))


def test_an_empty_case_has_advice_too() -> None:
    found = advise(make_case(), make_map([section("a")]))
    assert found.ranking.tests == ()
    assert found.gaps[0].reason == "no_test"
