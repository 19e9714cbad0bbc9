"""Takes a file into the book: a photo made ready with its original beside it, anything else as it is."""

import mimetypes
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kbapp.desktop.attachments.photo import is_photo, made_ready
from kbapp.errors import EnvironmentFault
from kbapp.records.base import clean_text

if TYPE_CHECKING:
    from kbapp.app.session import Session
    from kbapp.records.case import CodeRecord

LONGEST_REPORT: Final = 1_000_000
"""Bytes of text that are read for trouble codes."""
_TEXTS: Final = (".txt", ".log", ".csv", ".md")


@dataclass(frozen=True, slots=True)
class Taken:
    """A file the book keeps now; ``original`` is the photo it was made from, ``codes`` what a scan report holds."""

    name: str
    sha256: str
    size: int
    media_type: str
    original: str = ""
    codes: "tuple[CodeRecord, ...]" = ()


def take_in(session: "Session", name: str, source: Path | bytes) -> Taken:
    """Keeps a file in the book and returns what is known of it; call it on a worker.

    Raises:
        InputError: ``picture_damaged``, ``picture_too_large`` or ``picture_is_other``.
        EnvironmentFault: the file is gone or cannot be read, or the disk of the book is full.
    """
    data = _bytes(source)
    known = clean_text(name, lines=False)[:500]
    if is_photo(known, data):
        photo = made_ready(known, data)
        kept = session.keep_file(photo.data)
        original = session.keep_file(data) if photo.data != data else ""
        return Taken(known, kept, len(photo.data), photo.media_type, original)
    media = mimetypes.guess_type(known)[0] or "application/octet-stream"
    return Taken(known, session.keep_file(data), len(data), media, codes=_codes(known, data))


def _bytes(source: Path | bytes) -> bytes:
    if isinstance(source, bytes):
        return source
    try:
        return source.read_bytes()
    except OSError as error:
        raise EnvironmentFault("file_not_read", path=str(source), why=error.strerror or str(error)) from None


def _codes(name: str, data: bytes) -> "tuple[CodeRecord, ...]":
    """Returns the trouble codes of a text file, with status and module as it says them."""
    if not name.lower().endswith(_TEXTS) or len(data) > LONGEST_REPORT:
        return ()
    from kbapp.app.codes_text import codes_from_text

    return codes_from_text(data.decode("utf-8", "replace"))
