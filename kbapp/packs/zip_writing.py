"""Writes a ZIP whose bytes depend on nothing but its files: stored, dated 1980-01-01, with fixed modes."""

import zipfile
from collections.abc import Iterable
from typing import BinaryIO, Final

_DATE: Final = (1980, 1, 1, 0, 0, 0)
_MODE: Final = 0o100644 << 16
_UNIX: Final = 3


def write_zip(out: BinaryIO, files: Iterable[tuple[str, bytes]]) -> None:
    """Writes the files in the order they come; the caller sorts them."""
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED, allowZip64=False) as archive:
        for name, data in files:
            info = zipfile.ZipInfo(name, _DATE)
            info.create_system = _UNIX
            info.external_attr = _MODE
            archive.writestr(info, data, zipfile.ZIP_STORED)
