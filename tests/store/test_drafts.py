"""Drafts: on the disk when kept, never in the way when spoilt."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kbapp.errors import EnvironmentFault
from kbapp.store.drafts import Drafts


def test_a_draft_outlives_the_one_who_kept_it(tmp_path: Path) -> None:
    kept = Drafts(tmp_path, "one").keep("case/7/notes", "half a sent")
    assert Drafts(tmp_path, "one").get("case/7/notes") == kept
    assert Drafts(tmp_path, "one").all() == (kept,)
    assert Drafts(tmp_path, "restored").get("case/7/notes") is None


def test_the_latest_text_counts_and_can_be_dropped(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path, "one")
    drafts.keep("a", "first")
    drafts.keep("a", "second")
    drafts.keep("b", "other")
    found = drafts.get("a")
    assert found is not None
    assert found.text == "second"
    drafts.drop("a")
    drafts.drop("a")
    assert [draft.key for draft in drafts.all()] == ["b"]


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(key=st.text(), text=st.text())
def test_any_text_comes_back(tmp_path: Path, key: str, text: str) -> None:
    drafts = Drafts(tmp_path, "any")
    drafts.keep(key, text)
    found = drafts.get(key)
    assert found is not None
    assert (found.key, found.text) == (key, text)


@pytest.mark.parametrize("damage", [b"", b"{", b"null", b"[]", b'{"proof": 3}', b"\xff\xfe", b"[" * 100_000])
def test_a_spoilt_draft_is_set_aside(tmp_path: Path, damage: bytes) -> None:
    drafts = Drafts(tmp_path, "one")
    drafts.keep("a", "text")
    (place,) = drafts.folder.iterdir()
    place.write_bytes(damage)
    assert drafts.get("a") is None
    assert drafts.all() == ()
    assert [path.suffix for path in drafts.folder.iterdir()] == [".spoilt"]
    drafts.keep("a", "again")
    assert drafts.get("a") is not None


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=200), place=st.integers(0, 120), cut=st.booleans())
def test_no_damage_raises_or_passes(tmp_path: Path, data: bytes, place: int, cut: bool) -> None:
    drafts = Drafts(tmp_path, "damage")
    drafts.keep("key", "the text that was typed")
    (path,) = drafts.folder.glob("*.draft")
    whole = path.read_bytes()
    path.write_bytes(whole[:place] + data + (b"" if cut else whole[place + len(data) :]))
    found = drafts.get("key")
    assert found is None or found.text == "the text that was typed"


def test_what_a_crash_left_half_written_is_no_draft(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path, "one")
    drafts.keep("a", "text")
    (drafts.folder / "x.draft.123.part").write_bytes(b"half")
    assert len(drafts.all()) == 1
    drafts.tidy()
    assert len(list(drafts.folder.iterdir())) == 1


def test_no_folder_means_no_drafts(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path / "missing", "one")
    assert drafts.all() == ()
    assert drafts.get("a") is None
    drafts.drop("a")
    drafts.tidy()


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(EnvironmentFault) as refused:
        Drafts(tmp_path / "file", "one").keep("a", "text")
    assert refused.value.code == "path_missing"
