from kbapp.isolation.candidates import choices
from kbapp.isolation.economics import Economics
from kbapp.isolation.ranking import RankedBy, Ranking, rank
from kbapp.records.section_map import SectionMap
from tests.isolation.examples import look, make_map, points, ran, section
from tests.isolation.reference_map import reference_map


def _rank(
    told: SectionMap, *lines: dict[str, object], by: RankedBy | None = None, missing: tuple[str, ...] = ()
) -> Ranking:
    found = look(told, *lines)
    return rank(found.model, found.shares, choices(found.model, found.evidence, missing), Economics(), by)


def _order(ranking: Ranking) -> list[str]:
    return [test.way.test.id for test in ranking.tests]


def test_the_criteria_differ_on_the_first_test() -> None:
    # [L] reference brake map: by cost T1 first, by information a minute T5
    assert _order(_rank(reference_map()))[0] == "T1"
    assert _rank(reference_map()).by == "cost"
    assert _order(_rank(reference_map(), by="gain"))[0] == "T5"


def test_without_costs_information_ranks_whatever_is_asked() -> None:
    told = make_map([section("a"), section("b")], [points("t", "a"), points("u", "b", run_minutes=2)])
    found = _rank(told, by="cost")
    assert (found.by, _order(found)) == ("gain", ["u", "t"])
    assert found.costs.fit_now is None
    assert found.tests[0].expected_cost is None


def test_what_cannot_be_run_now_comes_last() -> None:
    told = make_map(
        [section("a"), section("b"), section("base")],
        [
            points("kit", "a", kit=["smoke machine"], run_minutes=1),
            points("blocked", "a", good_first=["base"], run_minutes=1),
            points("t", "b", run_minutes=60),
            points("base_test", "base", run_minutes=90),
        ],
    )
    assert _order(_rank(told, missing=("smoke machine",))) == ["t", "base_test", "blocked", "kit"]


def test_reversible_before_destructive_at_equal_value() -> None:
    told = make_map([section("a"), section("b")], [points("cut", "a", destructive=True), points("clip", "a")])
    assert _order(_rank(told)) == ["clip", "cut"]


def test_a_test_already_run_leaves_the_ranking() -> None:
    assert "T1" not in _order(_rank(reference_map(), ran("T1", "no")))


def test_fit_now_against_test_first() -> None:
    first = _rank(reference_map()).costs
    assert first.fit_now is not None
    assert first.test_first is not None
    assert first.test_first < first.fit_now
    lines = [ran("T1", "no"), ran("T2", "no"), ran("T6")]
    later = _rank(reference_map(), *lines).costs
    assert later.section == "MC"
    assert later.fit_now is not None
    assert later.test_first is not None
    assert later.fit_now < later.test_first


def test_many_tests_are_still_ranked() -> None:
    sections = [section(f"s{n}", n + 1, cost=50 + n) for n in range(12)]
    tests = [points(f"t{n}", f"s{n % 12}", run_minutes=1 + n) for n in range(90)]
    found = _rank(make_map(sections, tests))
    assert len(found.tests) == 90
    assert all(test.expected_cost is not None for test in found.tests)
