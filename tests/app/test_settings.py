from pathlib import Path

import pytest

from kbapp.app.settings import Settings, read_settings, write_settings
from kbapp.errors import EnvironmentFault


def test_settings_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "settings.json"
    settings = Settings(theme="dark", size="bay", units="us", currency="USD", labour_rate=95, author="IK")
    write_settings(path, settings)
    assert read_settings(path) == (settings, False)


@pytest.mark.parametrize("text", ["", "{", '{"theme": "pink"}', "[]", '{"nonsense": 1}'])
def test_a_damaged_file_gives_the_defaults_and_says_so(tmp_path: Path, text: str) -> None:
    path = tmp_path / "settings.json"
    path.write_text(text, encoding="utf-8")
    assert read_settings(path) == (Settings(), True)


def test_no_file_gives_the_defaults(tmp_path: Path) -> None:
    assert read_settings(tmp_path / "none.json") == (Settings(), False)


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(EnvironmentFault):
        write_settings(tmp_path / "file" / "settings.json", Settings())
