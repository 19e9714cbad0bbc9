"""Makes pictures anew from their pixels, so that nothing hidden in the file goes along.

A picture made so has only the parts a viewer needs; ``hidden_parts`` of it is empty, and it is not made again.
Sources: JPEG markers as in ITU-T T.81, table B.1; PNG chunks as in the PNG specification (W3C); both from memory.
"""

import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from kbapp.errors import InputError

MOST_PIXELS: Final = 100_000_000
QUALITY: Final = 90

_JPEG: Final = b"\xff\xd8\xff"
_PNG: Final = b"\x89PNG\r\n\x1a\n"
_OTHERS: Final = (b"GIF87a", b"GIF89a", b"BM", b"II*\0", b"MM\0*")
_JFIF: Final = b"JFIF\0"
_PLAIN_SEGMENTS: Final = frozenset({0xDB, 0xC0, 0xC1, 0xC2, 0xC4, 0xDD})
_PLAIN_CHUNKS: Final = frozenset({b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND"})
_SEGMENTS: Final = {0xFE: "comment", 0xED: "IPTC", 0xE2: "colour profile", 0xEE: "APP14"}


@dataclass(frozen=True, slots=True)
class Remade:
    """A picture made anew, and what its file had held besides the picture."""

    data: bytes
    media_type: str
    found: tuple[str, ...]


def is_picture(data: bytes) -> bool:
    """Returns whether the bytes begin like a picture that can be made anew."""
    return data.startswith((_JPEG, _PNG, *_OTHERS)) or (data[:4] == b"RIFF" and data[8:12] == b"WEBP")


def hidden_parts(data: bytes) -> tuple[str, ...]:
    """Returns what a picture file holds besides the picture, each named once; none in a picture made by ``remade``."""
    try:
        if data.startswith(_JPEG):
            return tuple(dict.fromkeys(_jpeg_parts(data)))
        if data.startswith(_PNG):
            return tuple(dict.fromkeys(_png_parts(data)))
    except (struct.error, IndexError, ValueError):
        return ("damaged",)
    return ("other format",)


def remade(data: bytes) -> Remade:
    """Returns a picture made anew from its pixels, turned the way it was shown.

    Raises:
        InputError: ``picture_unreadable``.
    """
    from PIL import Image, ImageOps

    found = hidden_parts(data)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            with Image.open(io.BytesIO(data)) as opened:
                _refuse_large(opened.width, opened.height)
                upright = ImageOps.exif_transpose(opened)
                photo = data.startswith(_JPEG) or opened.format == "WEBP"
                picture = upright.convert(_mode(upright.mode, photo=photo))
    except InputError:
        raise
    except Exception as error:  # a decoder of many formats fails in many ways; none of them may end the program
        raise InputError("picture_unreadable", why=type(error).__name__) from None
    clean = Image.new(picture.mode, picture.size)
    clean.paste(picture)
    out = io.BytesIO()
    if photo:
        clean.save(out, "JPEG", quality=QUALITY)
    else:
        clean.save(out, "PNG")
    return Remade(out.getvalue(), "image/jpeg" if photo else "image/png", found)


def _refuse_large(width: int, height: int) -> None:
    if width * height > MOST_PIXELS:
        raise InputError("picture_unreadable", why=f"{width}x{height}")


def _mode(mode: str, *, photo: bool) -> str:
    if mode in ("1", "L", "RGB"):
        return "L" if photo and mode == "1" else mode
    return "RGB" if photo or mode not in ("RGBA", "LA", "PA", "P") else "RGBA"


def _jpeg_parts(data: bytes) -> Iterator[str]:
    at = 2
    while True:
        if data[at] != 0xFF:
            raise ValueError(at)
        marker = data[at + 1]
        if marker == 0xD9:
            break
        length = struct.unpack_from(">H", data, at + 2)[0]
        part = _jpeg_part(marker, data[at + 4 : at + 2 + length])
        if part:
            yield part
        at += 2 + length
        if marker == 0xDA:
            at = _after_scan(data, at)
    if at + 2 != len(data):
        yield "data after the end"


def _jpeg_part(marker: int, body: bytes) -> str:
    if marker in _PLAIN_SEGMENTS or marker == 0xDA:
        return ""
    if marker == 0xE0 and body.startswith(_JFIF):
        return "" if len(body) == 14 and body[12:14] == b"\0\0" else "thumbnail"
    if marker == 0xE1:
        return "EXIF" if body.startswith(b"Exif\0") else "XMP" if b"adobe.com/x" in body[:60] else "APP1"
    return _SEGMENTS.get(marker, f"APP{marker - 0xE0}" if 0xE0 <= marker <= 0xEF else "other data")


def _after_scan(data: bytes, at: int) -> int:
    """Returns where the next marker after compressed pixels stands."""
    while True:
        at = data.index(b"\xff", at)
        if data[at + 1] != 0 and not 0xD0 <= data[at + 1] <= 0xD7:
            return at
        at += 2


def _png_parts(data: bytes) -> Iterator[str]:
    at = len(_PNG)
    while True:
        length, kind = struct.unpack_from(">I4s", data, at)
        body = data[at + 8 : at + 8 + length]
        crc = struct.unpack_from(">I", data, at + 8 + length)[0]
        if crc != zlib.crc32(kind + body):
            raise ValueError(at)
        if kind not in _PLAIN_CHUNKS:
            yield _chunk_name(kind, body)
        at += 12 + length
        if kind == b"IEND":
            break
    if at != len(data):
        yield "data after the end"


def _chunk_name(kind: bytes, body: bytes) -> str:
    if kind == b"eXIf":
        return "EXIF"
    if kind == b"iTXt" and body.startswith(b"XML:com.adobe.xmp"):
        return "XMP"
    return {b"tEXt": "text", b"zTXt": "text", b"iTXt": "text", b"tIME": "time", b"iCCP": "colour profile"}.get(
        kind, kind.decode("latin-1")
    )
