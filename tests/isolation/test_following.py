import pytest

from kbapp.isolation.economics import Economics
from kbapp.isolation.following import expectation, next_step
from kbapp.isolation.model import build
from kbapp.isolation.results import Evidence, result_of_test
from tests.isolation.examples import make_map, points, section
from tests.isolation.reference_map import reference_map

ECONOMICS = Economics(labour_per_minute=2.0, escalation=2000.0)
TWO = make_map(
    [section("a", 1, cost=1000), section("b", 1, cost=1000)], [points("t", "a", run_minutes=10)], not_on_map=0.01
)


def test_the_expectation_worked_by_hand() -> None:
    # one test (10 min at 2 a minute, .9/.1), then the section it points to, then the other: with a the cause,
    # .9 × (20 + 1000) + .1 × (20 + 2000), and a part in vain in .1 of the courses
    found = expectation(build(TWO), "a", {}, ECONOMICS)
    assert found.cost == pytest.approx(0.9 * 1020 + 0.1 * 2020)
    assert found.minutes == pytest.approx(10)
    assert found.parts_in_vain == pytest.approx(0.1)
    assert found.found == pytest.approx(1)
    assert (found.courses, found.not_followed, found.assumed) == (2, 0, ("t",))


def test_a_recorded_outcome_stands_whatever_the_map_says() -> None:
    model = build(TWO)
    test = TWO.tests[0]
    recorded = {"t": result_of_test(model, test, test.outcomes[0], "strong")}
    found = expectation(model, "a", recorded, ECONOMICS)
    assert found.cost == pytest.approx(1020)
    assert (found.courses, found.assumed) == (1, ())


def test_unlikely_courses_are_left_out_and_told() -> None:
    model = build(reference_map())
    found = expectation(model, "MC", {}, ECONOMICS)
    assert 0 < found.not_followed < 0.2
    assert found.courses >= 3
    assert 0.9 < found.found <= 1
    # the two-step policy is expected to take 873.546 over all faults ([L], an independent program); MC is a cheap one
    assert 300 < found.cost < 874


def test_the_means_over_all_faults_come_near_the_policys_known_cost() -> None:
    # [L] two-step expected cost 873.5460 over the reference map, with repairs that cure in .98 and escalation; here a
    # repair of the true section always cures and nothing is referred out, so "not on the map" (.10) is left aside
    model = build(reference_map())
    parts = [section.id for section in model.section_map.sections]
    priors = {name: 2.718281828 ** float(model.log_prior[model.index[name]]) for name in parts}
    total = sum(priors[name] * expectation(model, name, {}, ECONOMICS).cost for name in parts) / sum(priors.values())
    off_map = 0.10 * 2000
    assert 0.80 * 873.546 < 0.90 * total + off_map < 1.05 * 873.546


def test_when_everything_was_repaired_there_is_no_next_step() -> None:
    model = build(make_map([section("a"), section("b")]))
    assert next_step(model, Evidence(), ECONOMICS, frozenset(), frozenset({"a", "b"})) is None
    step = next_step(model, Evidence(), ECONOMICS, frozenset(), frozenset({"a"}))
    assert step is not None
    assert (step.kind, step.name) == ("repair", "b")
