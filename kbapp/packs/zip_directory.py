"""Reads the directory of a ZIP file, byte for byte, and refuses whatever a plain pack does not need.

Source: the ZIP file format description (APPNOTE 6.3, sections 4.3.7, 4.3.12 and 4.3.16), from memory; the standard
library's reader is the oracle of the tests. Nothing is mended: no comment, no extra field, no gap between entries, no
Zip64, no encryption, no link, no folder entry, and both headers of an entry must agree.
"""

import os
import stat
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO, Final

from kbapp.packs.faults import PackFaults
from kbapp.packs.limits import Limits
from kbapp.packs.names import collisions, name_faults
from kbapp.records.fault import Fault, shorten

STORED: Final = 0
DEFLATED: Final = 8

_END: Final = struct.Struct("<4s4H2LH")
_CENTRAL: Final = struct.Struct("<4s6H3L5H2L")
_LOCAL: Final = struct.Struct("<4s5H3L2H")
_UTF8: Final = 0x800
_DEFLATE_BITS: Final = 0x6
_FOLDER: Final = 0x10
_UNIX: Final = 3
_LONGEST_NAME: Final = 4096


@dataclass(frozen=True, slots=True)
class Entry:
    """One file of the ZIP: ``packed`` bytes from ``data`` on, ``size`` bytes once unpacked."""

    name: str
    method: int
    crc: int
    packed: int
    size: int
    header: int
    data: int


@dataclass(frozen=True, slots=True)
class _Central:
    name: str
    raw_name: bytes
    version: int
    flags: int
    method: int
    crc: int
    packed: int
    size: int
    extra: int
    comment: int
    disk: int
    system: int
    attributes: int
    header: int


def read_directory(file: BinaryIO, limits: Limits) -> dict[str, Entry]:
    """Returns the entries by name, in the order of the directory.

    Raises:
        PackFaults: everything that is wrong with the directory, all at once.
    """
    length = file.seek(0, os.SEEK_END)
    if length > limits.packed:
        raise PackFaults([Fault("", "pack_too_large", str(length), str(limits.packed))])
    start, count, size = _end(file, length, limits)
    found = list(_central(file, start, count, size))
    faults = [fault for one in found for fault in _entry_faults(one, limits)]
    faults += collisions(one.name for one in found)
    faults += _total_faults(found, limits)
    entries, more = _with_places(file, found, start)
    if faults or more:
        raise PackFaults([*faults, *more])
    return entries


def _damaged(what: str) -> PackFaults:
    return PackFaults([Fault("", "pack_zip_damaged", what)])


def _end(file: BinaryIO, length: int, limits: Limits) -> tuple[int, int, int]:
    if length < _END.size:
        raise _damaged("end")
    file.seek(length - _END.size)
    mark, disk, first_disk, here, count, size, start, comment = _END.unpack(file.read(_END.size))
    if mark != b"PK\5\6" or comment or disk or first_disk or here != count or start + size + _END.size != length:
        raise _damaged("end")
    if count > limits.entries:
        raise PackFaults([Fault("", "pack_too_many", str(count), str(limits.entries))])
    if size > count * (_CENTRAL.size + _LONGEST_NAME):
        raise _damaged("directory")
    return start, count, size


def _central(file: BinaryIO, start: int, count: int, size: int) -> Iterator[_Central]:
    file.seek(start)
    data = file.read(size)
    at = 0
    for _ in range(count):
        if at + _CENTRAL.size > len(data):
            raise _damaged("directory")
        (mark, made_by, version, flags, method, _time, _date, crc, packed, unpacked, name_length, extra, comment, disk,
         _internal, attributes, header) = _CENTRAL.unpack_from(data, at)  # fmt: skip
        at += _CENTRAL.size
        raw = data[at : at + name_length]
        at += name_length + extra + comment
        if mark != b"PK\1\2" or at > len(data):
            raise _damaged("directory")
        yield _Central(
            _decoded(raw, flags), raw, version, flags, method, crc, packed, unpacked, extra, comment, disk,
            made_by >> 8, attributes, header,
        )  # fmt: skip
    if at != len(data):
        raise _damaged("directory")


def _decoded(raw: bytes, flags: int) -> str:
    try:
        return raw.decode("utf-8" if flags & _UTF8 else "ascii")
    except UnicodeDecodeError:
        return raw.decode("latin-1") + "\ufffd"  # a name nobody can mean: refused for its last character


def _entry_faults(one: _Central, limits: Limits) -> Iterator[Fault]:
    shown = shorten(one.name)
    yield from name_faults(one.name, limits)
    if one.name.endswith("\ufffd"):
        yield Fault(shown, "pack_name_character", "\\ufffd")
    if one.flags & 0x1 or one.flags & 0x2040:
        yield Fault(shown, "pack_entry_encrypted")
    elif one.flags & ~(_UTF8 | _DEFLATE_BITS):
        yield Fault(shown, "pack_entry_flags", hex(one.flags))
    if one.method not in (STORED, DEFLATED):
        yield Fault(shown, "pack_entry_method", str(one.method))
    if one.extra or one.comment or one.disk:
        yield Fault(shown, "pack_entry_extra")
    yield from _kind_faults(one, shown)
    yield from _size_faults(one, shown, limits)


def _kind_faults(one: _Central, shown: str) -> Iterator[Fault]:
    kind = stat.S_IFMT(one.attributes >> 16)
    if kind == stat.S_IFDIR or one.attributes & _FOLDER or one.name.endswith("/"):
        yield Fault(shown, "pack_entry_folder")
    elif stat.S_ISLNK(one.attributes >> 16) or (one.system == _UNIX and kind not in (0, stat.S_IFREG)):
        yield Fault(shown, "pack_entry_link")


def _size_faults(one: _Central, shown: str, limits: Limits) -> Iterator[Fault]:
    if one.size > limits.file:
        yield Fault(shown, "pack_entry_large", str(one.size), str(limits.file))
    if one.size > limits.ratio * max(one.packed, 1):
        yield Fault(shown, "pack_entry_ratio", str(one.size // max(one.packed, 1)), str(limits.ratio))
    if one.method == STORED and one.size != one.packed:
        yield Fault(shown, "pack_entry_size", str(one.packed), str(one.size))


def _total_faults(found: list[_Central], limits: Limits) -> Iterator[Fault]:
    total = sum(one.size for one in found)
    if total > limits.unpacked:
        yield Fault("", "pack_too_large", str(total), str(limits.unpacked))


def _with_places(file: BinaryIO, found: list[_Central], end: int) -> tuple[dict[str, Entry], list[Fault]]:
    """Returns the entries with the place of their bytes; they must fill the file without gap or overlap."""
    faults: list[Fault] = []
    entries: dict[str, Entry] = {}
    at = 0
    for one in sorted(found, key=lambda one: one.header):
        data = _local_data(file, one) if one.header == at else None
        if data is None:
            return {}, [*faults, Fault(shorten(one.name), "pack_entry_headers")]
        at = data + one.packed
        entries[one.name] = Entry(one.name, one.method, one.crc, one.packed, one.size, one.header, data)
    if at != end:
        faults.append(Fault("", "pack_zip_damaged", "gap"))
    return entries, faults


def _local_data(file: BinaryIO, one: _Central) -> int | None:
    file.seek(one.header)
    head = file.read(_LOCAL.size)
    if len(head) < _LOCAL.size:
        return None
    mark, version, flags, method, _time, _date, crc, packed, size, name_length, extra = _LOCAL.unpack(head)
    if mark != b"PK\3\4" or extra or file.read(name_length) != one.raw_name:
        return None
    same = (version, flags, method, crc, packed, size) == (
        one.version, one.flags, one.method, one.crc, one.packed, one.size,
    )  # fmt: skip
    return one.header + _LOCAL.size + name_length if same else None
