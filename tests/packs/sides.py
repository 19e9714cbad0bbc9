"""Fixtures: the two shops of tests.packs.world, and a small pack of the first."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.packs.world import COPPERHILL, PRIVATE, WEIR_LANE, Side, case


@pytest.fixture
def weir(tmp_path: Path) -> Iterator[Side]:
    """Weir Lane Diagnostics with an empty book."""
    side = Side(tmp_path / "weir", WEIR_LANE, "IK")
    yield side
    side.book.close()


@pytest.fixture
def copperhill(tmp_path: Path) -> Iterator[Side]:
    """Copperhill Auto Electrics with an empty book."""
    side = Side(tmp_path / "copperhill", COPPERHILL, "PB")
    yield side
    side.book.close()


@pytest.fixture
def pack(weir: Side, tmp_path: Path) -> Path:
    """A pack of two cases, one with private details and a text file."""
    sha256 = weir.book.files.put(b"t;V\n0;12.4\n1;11.9\n")
    file = {"sha256": sha256, "name": "Tolland draw.csv", "media_type": "text/csv"}
    weir.add(
        case(number="2026-0001", attachments=[file], notes="Call Mrs Tolland-Özer on 0171 3920043."), private=PRIVATE
    )
    weir.add(case(number="2026-0002", state="repaired", sign_off=None))
    return weir.pack(tmp_path / "pack.zip").path
