"""A few hundred hostile packs in every run; ``python -m tests.packs.hostile --count 10000`` runs them all."""

import os
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.packs.hostile import KINDS, Field

ROUNDS = 400 if os.environ.get("KBAPP_FULL") == "1" else 8


@pytest.fixture
def field(tmp_path: Path) -> Iterator[Field]:
    one = Field(tmp_path)
    yield one
    one.close()


def test_no_hostile_pack_crashes_escapes_or_is_half_read(field: Field) -> None:
    field.run(len(KINDS) * ROUNDS, seed=7)
    assert field.failures == []
    assert len({outcome.split(":")[0] for outcome in field.outcomes}) == len(KINDS)


def test_each_kind_is_hostile(field: Field) -> None:
    """Of every kind at least one pack is refused, whole or case by case: none of them is a harmless exercise."""
    rng = random.Random(3)
    for kind in KINDS:
        outcomes = {field.attack(kind.__name__, kind(rng)) for _ in range(4)}
        assert any("refused" in outcome or outcome == "taken: 0" for outcome in outcomes), kind.__name__
