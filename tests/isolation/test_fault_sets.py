import numpy as np
import pytest

from kbapp.isolation.fault_sets import all_sets, noisy_or, two_fault_posterior
from tests.isolation.examples import look, make_map, points, ran, section, seen, situation_map

PRIORS = np.array([0.10, 0.05, 0.20])
LEAKS = (0.02, 0.05, 0.01)
WEIGHTS = np.array([[0.9, 0, 0.4], [0, 0.8, 0.5], [0.7, 0.6, 0]])


@pytest.mark.parametrize(
    ("effects", "expected"),
    [((0,), (0.50675043, 0.05, 0.51788976)), ((0, 1), (0.28505450, 0.13252800, 0.86912020))],
)
def test_noisy_or_with_several_faults(effects: tuple[int, ...], expected: tuple[float, ...]) -> None:
    # [L] three faults, three effects
    sets = all_sets(3, 3)
    weight = np.exp(sets @ np.log(PRIORS) + (1 - sets) @ np.log(1 - PRIORS))
    for effect in effects:
        weight = weight * noisy_or(LEAKS[effect], WEIGHTS[effect], sets)
    assert (weight / weight.sum()) @ sets == pytest.approx(expected, abs=2e-8)


def test_two_wheels_at_once() -> None:
    found = look(situation_map("S01"), *seen("hlf:a hrf:b hlr:b all:b hrr:a"))
    sets = two_fault_posterior(found.model, found.evidence.results)
    pairs = [one for one in sets if len(one.sections) == 2]
    assert pairs[0].sections == ("lf", "rr")
    assert pairs[0].share > 20 * pairs[1].share


def test_a_third_and_fourth_result_make_two_faults_the_best_account() -> None:
    sections = [section("a"), section("b"), section("c")]
    told = make_map(sections, [points("t", "a"), points("u", "b"), points("v", "a"), points("w", "b")])
    found = look(told, ran("t"), ran("u"), ran("v"), ran("w"))
    assert two_fault_posterior(found.model, found.evidence.results)[0].sections == ("a", "b")


def test_where_the_trouble_goes_only_if_all_faults_are_inside() -> None:
    sections = [section("a"), section("b"), section("c")]
    any_of = make_map(sections, [points("t", "a"), points("u", "b")])
    all_of = make_map(sections, [points("t", "a", combine="all"), points("u", "b", combine="all")])
    share = []
    for told in (any_of, all_of):
        found = look(told, ran("t"), ran("u"))
        sets = two_fault_posterior(found.model, found.evidence.results)
        share.append(next((one.share for one in sets if one.sections == ("a", "b")), 0.0))
    assert share[0] > 3 * share[1]


def test_a_shared_clamp_speaks_less_for_two_faults_too() -> None:
    sections = [section("a"), section("b"), section("c")]
    share = []
    for group in ("", "clamp"):
        told = make_map(
            sections, [points(t, s, group=group) for t, s in (("t", "a"), ("u", "a"), ("v", "b"), ("w", "b"))]
        )
        found = look(told, ran("t"), ran("u"), ran("v"), ran("w"))
        share.append(two_fault_posterior(found.model, found.evidence.results)[0].share)
    assert share[1] < share[0]


def test_all_sets_counts() -> None:
    assert len(all_sets(60, 2)) - 1 == 1830
