"""The bytes of a pack's files, counted and proved while they stream."""

import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO, Final

from kbapp.errors import EnvironmentFault
from kbapp.packs.faults import PackFaults
from kbapp.packs.limits import LIMITS, Limits
from kbapp.packs.zip_directory import STORED, Entry, read_directory
from kbapp.records.fault import Fault, shorten

CHUNK: Final = 256 * 1024


class Archive:
    """A ZIP file whose directory was found sound. Files are never written anywhere: they come as bytes."""

    def __init__(self, file: BinaryIO, limits: Limits = LIMITS) -> None:
        self._file = file
        self.limits = limits
        self.entries = read_directory(file, limits)

    def chunks(self, name: str) -> Iterator[bytes]:
        """Yields the bytes of a file in pieces.

        Raises:
            PackFaults: its bytes are not what the directory says (length, checksum, compressed data).
        """
        entry = self.entries[name]
        crc, count = 0, 0
        for piece in _unpacked(entry, self._packed(entry)):
            count += len(piece)
            if count > entry.size:
                raise _wrong(entry, "pack_entry_size", f"> {entry.size}")
            crc = zlib.crc32(piece, crc)
            yield piece
        if count != entry.size:
            raise _wrong(entry, "pack_entry_size", str(count))
        if crc != entry.crc:
            raise _wrong(entry, "pack_entry_checksum")

    def read(self, name: str) -> bytes:
        """Returns the whole of a file (at most the limit for one file). Errors as ``chunks``."""
        return b"".join(self.chunks(name))

    def _packed(self, entry: Entry) -> Iterator[bytes]:
        at, end = entry.data, entry.data + entry.packed
        while at < end:
            self._file.seek(at)
            piece = self._file.read(min(CHUNK, end - at))
            if not piece:
                raise _wrong(entry, "pack_entry_size", str(at - entry.data))
            at += len(piece)
            yield piece


def _wrong(entry: Entry, code: str, found: str = "") -> PackFaults:
    return PackFaults([Fault(shorten(entry.name), code, found, str(entry.size))])


def _unpacked(entry: Entry, packed: Iterator[bytes]) -> Iterator[bytes]:
    if entry.method == STORED:
        yield from packed
        return
    unpacker = zlib.decompressobj(-zlib.MAX_WBITS)
    try:
        for piece in packed:
            if unpacker.eof:
                raise _wrong(entry, "pack_entry_trailing")
            yield unpacker.decompress(piece, CHUNK)
            while unpacker.unconsumed_tail:
                yield unpacker.decompress(unpacker.unconsumed_tail, CHUNK)
        # what was held back by the limit of one step
        while rest := unpacker.decompress(b"", CHUNK):
            yield rest
    except zlib.error:
        raise _wrong(entry, "pack_entry_compression") from None
    if not unpacker.eof:
        raise _wrong(entry, "pack_entry_compression")
    if unpacker.unused_data:
        raise _wrong(entry, "pack_entry_trailing")


@contextmanager
def open_archive(path: Path, limits: Limits = LIMITS) -> Iterator[Archive]:
    """Opens a pack for reading.

    Raises:
        EnvironmentFault: ``file_not_read``.
        PackFaults: the file is no sound ZIP; every fault of its directory is carried.
    """
    try:
        with path.open("rb") as file:
            yield Archive(file, limits)
    except OSError as error:
        raise EnvironmentFault("file_not_read", path=str(path), why=error.strerror or str(error)) from None
