"""Makes a photo ready for a case: upright, of a sane size, without what its file hides; works on any thread."""

from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QSize, Qt
from PySide6.QtGui import QImage, QImageIOHandler, QImageReader

from kbapp.errors import InputError

LONGEST: Final = 2400
"""The longer side of a kept picture, in pixels: a page of A4 at 200 to the inch."""
MOST_MIB: Final = 192
"""Memory one picture may take while it is read. A JPEG is scaled while it is read, so that far larger ones fit."""
MOST_PIXELS: Final = 250_000_000
QUALITY: Final = 88
_PICTURES: Final = {
    b"\xff\xd8\xff": "image/jpeg", b"\x89PNG\r\n\x1a\n": "image/png", b"GIF8": "image/gif", b"BM": "image/bmp",
}  # fmt: skip
_OTHERS: Final = {b"%PDF": ("PDF", ".pdf"), b"PK\x03\x04": ("ZIP", ".zip")}
ENDINGS: Final = (".jpg", ".jpeg", ".png", ".gif", ".bmp", ".webp")


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture made ready: its bytes and what they are."""

    data: bytes
    media_type: str


def is_photo(name: str, data: bytes) -> bool:
    """Returns whether a file is a picture, or is called one."""
    return name.lower().endswith(ENDINGS) or any(data.startswith(magic) for magic in _PICTURES)


def made_ready(name: str, data: bytes) -> Photo:
    """Returns the picture in a file, upright and no larger than it need be.

    Raises:
        InputError: ``picture_is_other``, ``picture_too_large`` or ``picture_damaged``.
    """
    for magic, (kind, ending) in _OTHERS.items():
        if data.startswith(magic):
            raise InputError("picture_is_other", name=name, kind=kind, ending=ending)
    image = _read(name, data)
    png = data.startswith(b"\x89PNG")
    return Photo(_written(image, "PNG" if png else "JPEG"), "image/png" if png else "image/jpeg")


def _read(name: str, data: bytes) -> QImage:
    buffer = QBuffer()
    buffer.setData(QByteArray(data))
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = QImageReader(buffer)
    reader.setAutoTransform(True)
    reader.setDecideFormatFromContent(True)
    size = reader.size()
    if not size.isValid():
        raise InputError("picture_damaged", name=name)
    _refuse_too_large(name, reader, size)
    if max(size.width(), size.height()) > LONGEST:
        reader.setScaledSize(size.scaled(LONGEST, LONGEST, Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    if image.isNull():
        raise InputError("picture_damaged", name=name)
    return image


def _refuse_too_large(name: str, reader: QImageReader, size: QSize) -> None:
    pixels = size.width() * size.height()
    scaled = reader.supportsOption(QImageIOHandler.ImageOption.ScaledSize)  # while it is read, not after
    if pixels > MOST_PIXELS or (not scaled and pixels * 4 > MOST_MIB * 1024 * 1024):
        raise InputError("picture_too_large", name=name, megapixels=round(pixels / 1_000_000))


def _written(image: QImage, kind: str) -> bytes:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    for key in image.textKeys():
        image.setText(key, "")
    if kind == "JPEG":
        image = image.convertToFormat(QImage.Format.Format_RGB888)
    image.save(buffer, kind, QUALITY if kind == "JPEG" else -1)  # type: ignore[call-overload]
    return bytes(buffer.data().data())
