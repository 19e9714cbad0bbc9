from itertools import product

import numpy as np
import pytest

from kbapp.isolation.arrays import Floats, entropy_bits
from kbapp.isolation.candidates import choices
from kbapp.isolation.economics import Economics
from kbapp.isolation.gain import bits, bits_per_minute, outcome_views
from kbapp.isolation.ranking import rank
from tests.isolation.examples import look, seen, situation_map
from tests.isolation.reference_map import FIGURES, reference_map


def test_information_on_the_reference_map() -> None:
    # [L] reference brake map
    found = look(reference_map())
    ranking = rank(found.model, found.shares, choices(found.model, found.evidence), Economics(), "gain")
    for test in ranking.tests:
        positive, gain, rate = FIGURES[test.way.test.id]
        assert test.outcomes[0].probability == pytest.approx(positive, abs=1e-12)
        assert test.bits == pytest.approx(gain, abs=1e-9)
        assert test.bits_per_minute == pytest.approx(rate, abs=5e-7)
    assert [test.way.test.id for test in ranking.tests][:2] == ["T5", "T4"]


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        # [L] worked check of the low pedal
        ("", {"all": 0.431, "hlf": 0.319}),
        ("hlf:a hrf:b hlr:b", {"all": 0.263, "hrr": 0.180}),
    ],
)
def test_information_on_the_low_pedal(words: str, expected: dict[str, float]) -> None:
    found = look(situation_map("S01"), *seen(words))
    ranking = rank(found.model, found.shares, choices(found.model, found.evidence), Economics())
    told = {test.way.test.id: test.bits for test in ranking.tests}
    assert ranking.tests[0].way.test.id == "all"
    assert {name: told[name] for name in expected} == pytest.approx(expected, abs=5e-4)


def test_where_to_measure_four_inverters() -> None:
    # [L] four inverters in a row, input 1, output 0 seen where 1 was right; p(fault) = .01, a faulty output is uniform
    states, weights = [], []
    for faulty in product((0, 1), repeat=4):
        for noise in product((0, 1), repeat=sum(faulty)):
            values, left, value = [], list(noise), 1
            for bad in faulty:
                value = left.pop() if bad else 1 - value
                values.append(value)
            if values[-1] == 0:
                states.append((faulty, tuple(values)))
                weights.append(float(np.prod([0.005 if bad else 0.99 for bad in faulty])))
    shares, faults = _by_fault(states, weights)
    assert float(entropy_bits(shares)) == pytest.approx(2.122114, abs=1e-5)
    expected = {}
    for place in (0, 1, 2):
        after = 0.0
        for shown in (0, 1):
            kept = [(s, w) for s, w in zip(states, weights, strict=True) if s[1][place] == shown]
            part, _ = _by_fault([s for s, _ in kept], [w for _, w in kept], faults)
            after += sum(w for _, w in kept) / sum(weights) * float(entropy_bits(part))
        expected[place] = after
    assert expected == pytest.approx({0: 1.318353, 1: 1.132164, 2: 1.318353}, abs=1e-5)


def _by_fault(
    states: list[tuple[tuple[int, ...], tuple[int, ...]]],
    weights: list[float],
    order: list[tuple[int, ...]] | None = None,
) -> tuple[Floats, list[tuple[int, ...]]]:
    total: dict[tuple[int, ...], float] = {}
    for (faulty, _), weight in zip(states, weights, strict=True):
        total[faulty] = total.get(faulty, 0.0) + weight
    keys = order or sorted(total)
    values = np.array([total.get(key, 0.0) for key in keys])
    return values / values.sum(), keys


def test_what_each_outcome_would_tell() -> None:
    views = outcome_views(np.array([0.5, 0.5]), np.array([[0.9, 0.1], [0.1, 0.9]]), ("yes", "no"))
    assert [view.probability for view in views] == pytest.approx([0.5, 0.5])
    assert views[0].shares == pytest.approx([0.9, 0.1])


def test_the_expected_shares_after_a_test_are_those_before_it() -> None:
    rng = np.random.default_rng(2)
    shares, table = rng.dirichlet(np.ones(5)), rng.uniform(size=(3, 5))
    views = outcome_views(shares, table / table.sum(axis=0), ("x", "y", "z"))
    assert sum(view.probability * view.shares for view in views) == pytest.approx(shares)


def test_a_test_that_tells_nothing_has_no_bits() -> None:
    assert bits(np.array([0.2, 0.8]), np.full((2, 2), 0.5)) == 0
    assert bits_per_minute(0.4, 0.0) == pytest.approx(0.4)
