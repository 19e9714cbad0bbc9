"""Photos on their way into a case."""

import io
import struct
import zlib

import pytest
from PIL import Image
from PySide6.QtGui import QImage

from kbapp.desktop.attachments.photo import LONGEST, is_photo, made_ready
from kbapp.errors import InputError
from kbapp.packs.blank.images import hidden_parts
from kbapp.wording import sentence


def _jpeg(width: int, height: int, orientation: int = 1) -> bytes:
    image = Image.new("RGB", (width, height), "white")
    image.paste((200, 0, 0), (0, 0, width // 4, height // 4))
    exif = image.getexif()
    exif[0x0112] = orientation
    exif[0x010F] = "a maker"
    out = io.BytesIO()
    image.save(out, "JPEG", exif=exif)
    return out.getvalue()


def _png_head(width: int, height: int) -> bytes:
    """A PNG that says it is of this size and holds next to nothing."""
    body = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    idat = b"IDAT" + zlib.compress(b"\0" * 64)
    chunks = (struct.pack(">I", len(part) - 4) + part + struct.pack(">I", zlib.crc32(part)) for part in (body, idat))
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def _size(data: bytes) -> tuple[int, int]:
    image = QImage.fromData(data)
    return image.width(), image.height()


def test_a_photo_of_sixty_megapixels_becomes_one_of_a_sane_size() -> None:
    data = _jpeg(9000, 6700)
    photo = made_ready("pump.jpg", data)
    assert photo.media_type == "image/jpeg"
    assert _size(photo.data) == pytest.approx((LONGEST, 6700 * LONGEST / 9000), abs=1)
    assert len(photo.data) < len(data)


def test_a_photo_taken_upright_stands_upright_and_hides_nothing() -> None:
    photo = made_ready("pump.jpg", _jpeg(400, 300, orientation=6))
    assert _size(photo.data) == (300, 400)
    image = QImage.fromData(photo.data)
    assert image.pixelColor(290, 10).red() > 150
    assert image.pixelColor(290, 10).green() < 90, "the corner turned with the picture"
    assert image.pixelColor(10, 10).green() > 200
    assert [part for part in hidden_parts(photo.data) if part != "colour profile"] == []


def test_a_small_picture_keeps_its_kind() -> None:
    out = io.BytesIO()
    Image.new("RGB", (20, 10), "white").save(out, "PNG")
    photo = made_ready("scope.png", out.getvalue())
    assert (photo.media_type, _size(photo.data)) == ("image/png", (20, 10))


@pytest.mark.qt_log_ignore("libpng", "JPEG", "qt.gui.imageio")  # Qt says it, too
@pytest.mark.parametrize(
    ("data", "code", "said"),
    [
        (b"%PDF-1.7 and so on", "picture_is_other", "no picture but PDF"),
        (b"PK\x03\x04", "picture_is_other", "ZIP"),
        (_jpeg(40, 30)[:150], "picture_damaged", "is damaged"),
        (b"not a picture", "picture_damaged", "is damaged"),
        (b"", "picture_damaged", "is damaged"),
        (_png_head(9000, 7000), "picture_too_large", "63 megapixels"),
        (_png_head(100_000, 100_000), "picture_too_large", "megapixels"),
        (_png_head(100, 100), "picture_damaged", "is damaged"),
    ],
)
def test_what_is_no_picture_is_one_sentence(data: bytes, code: str, said: str) -> None:
    with pytest.raises(InputError) as refused:
        made_ready("photo.jpg", data)
    assert refused.value.code == code
    assert said in sentence(refused.value)
    assert "\n" not in sentence(refused.value)


def test_a_picture_is_known_by_name_or_content() -> None:
    assert is_photo("photo.JPG", b"")
    assert is_photo("noname", _jpeg(4, 4))
    assert not is_photo("report.txt", b"P0171 stored")
