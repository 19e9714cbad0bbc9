"""Builds ZIP files byte by byte, so that every field can lie."""

import struct
import zlib
from collections.abc import Iterable
from dataclasses import dataclass

STORED, DEFLATED = 0, 8


@dataclass
class Raw:
    """One entry; what is None is what an honest writer would put there."""

    name: str | bytes
    data: bytes = b""
    method: int = STORED
    flags: int | None = None
    crc: int | None = None
    size: int | None = None
    packed_size: int | None = None
    local_size: int | None = None
    local_name: bytes | None = None
    attributes: int = 0o100644 << 16
    system: int = 3
    extra: bytes = b""
    local_extra: bytes = b""
    comment: bytes = b""
    disk: int = 0
    header: int | None = None
    packed: bytes | None = None
    version: int = 20

    @property
    def raw_name(self) -> bytes:
        return self.name.encode("utf-8", "surrogatepass") if isinstance(self.name, str) else self.name

    @property
    def bits(self) -> int:
        if self.flags is not None:
            return self.flags
        return 0 if self.raw_name.isascii() else 0x800

    def body(self) -> bytes:
        if self.packed is not None:
            return self.packed
        if self.method != DEFLATED:
            return self.data
        packer = zlib.compressobj(9, zlib.DEFLATED, -15)
        return packer.compress(self.data) + packer.flush()


@dataclass
class Ending:
    """The end of the directory; what is None is honest."""

    count: int | None = None
    size: int | None = None
    start: int | None = None
    disk: int = 0
    comment: bytes = b""
    before: bytes = b""
    between: bytes = b""
    after: bytes = b""


def build(entries: Iterable[Raw], ending: Ending | None = None) -> bytes:
    """Returns the bytes of the ZIP."""
    ending = ending or Ending()
    out, central = bytearray(ending.before), []
    for one in entries:
        place, body = len(out), one.body()
        crc = zlib.crc32(one.data) if one.crc is None else one.crc
        packed = len(body) if one.packed_size is None else one.packed_size
        size = len(one.data) if one.size is None else one.size
        name = one.raw_name if one.local_name is None else one.local_name
        local_size = size if one.local_size is None else one.local_size
        out += struct.pack(
            "<4s5H3L2H", b"PK\3\4", one.version, one.bits, one.method, 0, 33, crc, packed, local_size, len(name),
            len(one.local_extra),
        )  # fmt: skip
        out += name + one.local_extra + body
        header = place if one.header is None else one.header
        central.append(
            struct.pack(
                "<4s6H3L5H2L", b"PK\1\2", one.system << 8 | 20, one.version, one.bits, one.method, 0, 33, crc, packed,
                size, len(one.raw_name), len(one.extra), len(one.comment), one.disk, 0, one.attributes, header,
            ) + one.raw_name + one.extra + one.comment
        )  # fmt: skip
    out += ending.between
    start = len(out)
    directory = b"".join(central)
    out += directory
    out += struct.pack(
        "<4s4H2LH", b"PK\5\6", ending.disk, 0, len(central) if ending.count is None else ending.count,
        len(central) if ending.count is None else ending.count, len(directory) if ending.size is None else ending.size,
        start if ending.start is None else ending.start, len(ending.comment),
    )  # fmt: skip
    return bytes(out + ending.comment + ending.after)
