"""A few kills in every run; ``python -m tests.packs.kills --rounds 100`` makes many."""

import os
from pathlib import Path

import pytest

from tests.packs.kills import Scene

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kills by signal")


def test_a_kill_leaves_no_half_pack_and_no_half_import(tmp_path: Path) -> None:
    scene = Scene(tmp_path)
    for n, after in enumerate((0.05,)):
        scene.write(after, f"w{n}.zip")
    for n, after in enumerate((0.04,)):
        scene.read(after, f"r{n}")
    assert list(tmp_path.glob("w*.zip")) == [
        path for path in tmp_path.glob("w*.zip") if path.stat().st_size == scene.pack.stat().st_size
    ]
