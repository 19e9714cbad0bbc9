import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.lookup.arrays import contenders, values_at


@pytest.mark.parametrize("wanted", [0, 1, 50, 1999, 2001, 6000])
@pytest.mark.parametrize("held", [0, 1, 300, 9000])
def test_values_at_is_a_look_up(wanted: int, held: int) -> None:
    rng = np.random.default_rng(wanted * 7 + held)
    size = 10_000
    some = np.sort(rng.choice(size, wanted, replace=False))
    ids = np.sort(rng.choice(size, held, replace=False))
    values = rng.random(held) + 0.1
    known = dict(zip(ids.tolist(), values.tolist(), strict=True))
    assert values_at(some, ids, values, size).tolist() == [known.get(one, 0.0) for one in some.tolist()]


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 3000), st.integers(1, 40), st.integers(1, 1000), st.integers(0, 5))
def test_contenders_hold_the_best(count: int, limit: int, kinds: int, seed: int) -> None:
    total = np.random.default_rng(seed).integers(0, kinds, count).astype(np.float64)
    places = contenders(total, limit)
    best = np.sort(total)[::-1][:limit]
    assert np.array_equal(np.sort(total[places])[::-1][:limit], best)
    assert np.all(np.diff(places) > 0)
    if count:
        assert set(np.flatnonzero(total >= best[-1]).tolist()) <= set(places.tolist())
