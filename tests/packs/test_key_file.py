import os
import stat
from pathlib import Path

import pytest

from kbapp.errors import DamageError, EnvironmentFault, InputError
from kbapp.packs.key_file import load_key, write_key
from kbapp.packs.shop_key import new_key
from tests.packs.world import WEIR_LANE


def test_a_key_is_written_for_its_user_alone(tmp_path: Path) -> None:
    path = tmp_path / "keys" / "shop.json"
    key = new_key(WEIR_LANE)
    write_key(path, key)
    assert load_key(path) == key
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert [one.name for one in path.parent.iterdir()] == ["shop.json"]


def test_a_key_is_not_overwritten_by_chance(tmp_path: Path) -> None:
    path = tmp_path / "shop.json"
    key = new_key(WEIR_LANE)
    write_key(path, key)
    with pytest.raises(InputError, match="key_file_exists"):
        write_key(path, new_key(WEIR_LANE))
    assert load_key(path) == key
    other = new_key(WEIR_LANE)
    write_key(path, other, replace=True)
    assert load_key(path) == other


def test_missing_damaged_and_unwritable(tmp_path: Path) -> None:
    assert load_key(tmp_path / "no.json") is None
    (tmp_path / "bad.json").write_bytes(b"{")
    with pytest.raises(DamageError, match="key_damaged"):
        load_key(tmp_path / "bad.json")
    with pytest.raises(EnvironmentFault, match="file_not_read"):
        load_key(tmp_path)
    (tmp_path / "file").touch()
    with pytest.raises(EnvironmentFault, match="key_not_written"):
        write_key(tmp_path / "file" / "x.json", new_key(WEIR_LANE))
