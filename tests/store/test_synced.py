"""Folders that another program synchronises are told by name or marker."""

from pathlib import Path

import pytest

from kbapp.store.book import open_book
from kbapp.store.synced import synced_folder
from kbapp.wording import sentence


@pytest.mark.parametrize("name", ["ShopCloud", "My Drive", "team-sync"])
def test_a_name_says_so(tmp_path: Path, name: str) -> None:
    folder = tmp_path / name / "book"
    folder.mkdir(parents=True)
    assert synced_folder(folder) == tmp_path / name


@pytest.mark.parametrize("marker", [".sync", ".sync_1f2e.db", ".stfolder"])
def test_a_marker_says_so(tmp_path: Path, marker: str) -> None:
    (tmp_path / "book").mkdir()
    (tmp_path / marker).touch()
    assert synced_folder(tmp_path / "book") == tmp_path


@pytest.mark.parametrize("name", ["book", "overdrive", "drives", "synchromesh", "Test drive"])
def test_other_folders_are_taken_without_a_word(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    assert synced_folder(tmp_path / name) is None


def test_opening_warns_and_names_the_way_out(folder: Path) -> None:
    place = folder.parent / "Cloud"
    place.mkdir()
    folder = folder.rename(place / "book")
    with open_book(folder) as book:
        (warning,) = book.warnings
    assert warning.code == "book_synced"
    assert str(place) in sentence(warning)
    assert "PostgreSQL" in sentence(warning)
