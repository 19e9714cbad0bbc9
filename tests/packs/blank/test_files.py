import hashlib
from typing import Any

import pytest

from kbapp.packs.blank.files import FileBlanking
from kbapp.packs.blank.listed import Listed
from kbapp.packs.blank.removal import Removal
from tests.packs.blank.test_images import SECRET, jpeg_with_everything, png_with_everything
from tests.packs.world import PRIVATE


def blanked(
    data: bytes, name: str = "x", kept: set[str] | None = None, **fields: Any
) -> tuple[dict[str, Any] | None, FileBlanking]:
    work = FileBlanking("case", Listed((PRIVATE,)), lambda _: data, kept or set())
    return work.attachment(0, 1, {"sha256": hashlib.sha256(data).hexdigest(), "name": name, **fields}), work


@pytest.mark.parametrize(("data", "ending"), [(jpeg_with_everything(), "jpg"), (png_with_everything(), "png")])
def test_a_picture_is_made_anew_and_renamed(data: bytes, ending: str) -> None:
    out, work = blanked(data, "IMG_Tolland_QX-ZT4471.jpg")
    assert out
    assert out["name"] == f"attachment-1.{ending}"
    assert out["sha256"] == hashlib.sha256(work.files[0].data).hexdigest()
    assert out["size"] == len(work.files[0].data)
    assert SECRET not in work.files[0].data
    assert {one.kind for one in work.removals} == {"metadata", "file_name"}


def test_a_text_is_searched_and_its_times_stay() -> None:
    out, work = blanked(
        b"Owner,Maria Tolland\n2026-06-03T09:40:00,12.4\n2026-06-03T09:41:00,11.9\n", media_type="text/csv"
    )
    assert out
    assert work.files[0].data == b"Owner,[name] [name]\n2026-06-03T09:40:00,12.4\n2026-06-03T09:41:00,11.9\n"


@pytest.mark.parametrize("data", [b"%PDF-1.7 Tolland", b"\0\1\2", b"\xff\xfe\xfd", b"\xff\xd8\xffbroken"])
def test_what_nobody_can_look_into_stays_at_home_unless_kept(data: bytes) -> None:
    out, work = blanked(data, "scan.pdf")
    assert out is None
    assert work.files == []
    assert [one.kind for one in work.removals] == ["file"]
    out, work = blanked(data, "scan.pdf", {work.removals[0].id})
    assert out
    assert work.files[0].data == data
    assert out["name"] == "attachment-1.bin"


def test_what_was_blanked_once_is_left_alone() -> None:
    out, work = blanked(jpeg_with_everything())
    assert out
    again = FileBlanking("case", Listed(()), lambda _: work.files[0].data, ())
    assert again.attachment(0, 1, out) == out
    assert again.removals == list[Removal]()


def test_metadata_can_be_kept() -> None:
    data = jpeg_with_everything()
    _, work = blanked(data)
    metadata = next(one for one in work.removals if one.kind == "metadata")
    assert "EXIF" in metadata.text
    _, work = blanked(data, kept={metadata.id})
    assert work.files[0].data == data


def test_the_photo_a_picture_was_made_from_is_not_even_named() -> None:
    out, _work = blanked(jpeg_with_everything(), original="ab" * 32, caption="Removed pump")
    assert out
    assert "original" not in out
    assert out["caption"] == "Removed pump"
