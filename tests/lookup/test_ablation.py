"""Parts of the ranking can be switched off one at a time, and are switched on again."""

import pytest

from kbapp.lookup import weights
from tests.lookup.ablation import PARTS, without


@pytest.mark.parametrize("part", PARTS)
def test_a_part_is_switched_off_and_on_again(part: str) -> None:
    before = [getattr(place, name) for place, name, _ in PARTS[part]]
    with without(part):
        assert [getattr(place, name) for place, name, _ in PARTS[part]] == [value for _, _, value in PARTS[part]]
    assert [getattr(place, name) for place, name, _ in PARTS[part]] == before


def test_weights_are_round_and_few() -> None:
    values = {name: value for name, value in vars(weights).items() if name.isupper()}
    assert len(values) <= 24
    assert all(round(value * 20) == value * 20 for value in values.values())
