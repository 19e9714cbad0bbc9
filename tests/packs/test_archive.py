import io
import random
import tracemalloc
from pathlib import Path

import pytest

from kbapp.errors import EnvironmentFault
from kbapp.packs.archive import Archive, open_archive
from kbapp.packs.faults import PackFaults
from tests.packs.raw_zip import DEFLATED, Raw, build


def fault(*entries: Raw) -> str:
    archive = Archive(io.BytesIO(build(entries)))
    with pytest.raises(PackFaults) as caught:
        archive.read(str(entries[0].name))
    return caught.value.faults[0].code


def test_reads_stored_and_deflated_files_whole() -> None:
    data = random.Random(1).randbytes(700_000)
    archive = Archive(
        io.BytesIO(build([Raw("a/b", data), Raw("a/c", data, DEFLATED), Raw("a/d", b"", DEFLATED), Raw("a/e")]))
    )
    assert [archive.read(name) for name in archive.entries] == [data, data, b"", b""]


def test_a_lying_size_is_found_while_counting() -> None:
    long = Raw("a/b", b"x" * 5000, DEFLATED)
    assert fault(Raw("a/b", b"x" * 5000, DEFLATED, size=400, packed=long.body())) == "pack_entry_size"
    noise = random.Random(2).randbytes(5000)
    assert fault(Raw("a/b", noise, DEFLATED, size=5001, crc=0)) == "pack_entry_size"


def test_a_wrong_checksum_is_found() -> None:
    assert fault(Raw("a/b", b"xx", crc=1)) == "pack_entry_checksum"


def test_damaged_and_trailing_streams_are_found() -> None:
    body = Raw("a/b", b"hello" * 30, DEFLATED).body()
    assert fault(Raw("a/b", b"hello" * 30, DEFLATED, packed=b"\xff" * 20)) == "pack_entry_compression"
    assert fault(Raw("a/b", b"hello" * 30, DEFLATED, packed=body[:-3])) in ("pack_entry_compression", "pack_entry_size")
    assert fault(Raw("a/b", b"hello" * 30, DEFLATED, packed=body + b"more")) == "pack_entry_trailing"


def test_a_bomb_is_never_unpacked() -> None:
    bomb = Raw("a/b", bytes(50_000_000), DEFLATED)  # 50 MB of zeros pack to 49 kB
    body = bomb.body()
    archive = Archive(io.BytesIO(build([Raw("a/b", b"", DEFLATED, size=len(body) * 99, packed=body)])))
    tracemalloc.start()
    with pytest.raises(PackFaults, match="pack_faults"):
        for _ in archive.chunks("a/b"):
            pass
    assert tracemalloc.get_traced_memory()[1] < 5_000_000
    tracemalloc.stop()


def test_a_missing_file_is_the_environments_fault(tmp_path: Path) -> None:
    with pytest.raises(EnvironmentFault, match="file_not_read"), open_archive(tmp_path / "no.zip"):
        pass
