"""The own reader of ZIP directories against the standard library's, and against what that lets through."""

import io
import zipfile
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.packs.archive import Archive
from kbapp.packs.faults import PackFaults
from kbapp.packs.limits import Limits
from kbapp.packs.zip_directory import read_directory
from tests.packs.raw_zip import DEFLATED, Ending, Raw, build

SMALL = Limits(packed=10_000, unpacked=20_000, file=5_000, entries=5, ratio=100, depth=3, path=30)


def codes(data: bytes, limits: Limits = SMALL) -> set[str]:
    try:
        read_directory(io.BytesIO(data), limits)
    except PackFaults as error:
        return {fault.code for fault in error.faults}
    return set()


@settings(max_examples=30)
@given(
    st.dictionaries(st.from_regex(r"[a-z]{1,8}/[a-z]{1,8}", fullmatch=True), st.binary(max_size=300), min_size=1),
    st.booleans(),
)
def test_agrees_with_the_standard_library(files: dict[str, bytes], deflated: bool) -> None:
    """Oracle: zipfile of the standard library writes, both read."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED if deflated else zipfile.ZIP_STORED) as archive:
        for name, data in files.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED if deflated else zipfile.ZIP_STORED)
    read = Archive(out)
    assert {name: read.read(name) for name in read.entries} == files


def test_what_an_honest_builder_makes_is_read_by_both() -> None:
    data = build([Raw("a/b", b"one"), Raw("a/c", b"two" * 99, DEFLATED)])
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
    assert codes(data) == set()


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "pack_zip_damaged"),
        (build([Raw("a/b")], Ending(comment=b"x")), "pack_zip_damaged"),
        (build([Raw("a/b")], Ending(before=b"x")), "pack_entry_headers"),
        (build([Raw("a/b")], Ending(between=b"x")), "pack_zip_damaged"),
        (build([Raw("a/b")], Ending(after=b"x")), "pack_zip_damaged"),
        (build([Raw("a/b")], Ending(count=2)), "pack_zip_damaged"),
        (build([Raw("a/b")], Ending(disk=1)), "pack_zip_damaged"),
        (build([Raw(f"a/{n}") for n in range(6)]), "pack_too_many"),
        (build([Raw("a/b", bytes(4_000)), Raw("a/c", bytes(4_000)), Raw("a/d", bytes(4_000))]), "pack_too_large"),
        (build([Raw("a/b", bytes(5_001))]), "pack_entry_large"),
        (build([Raw("a/b", bytes(5_000), DEFLATED)]), "pack_entry_ratio"),
        (build([Raw("a/b", b"x", flags=1)]), "pack_entry_encrypted"),
        (build([Raw("a/b", b"x", flags=8)]), "pack_entry_flags"),
        (build([Raw("a/b", b"x", method=12)]), "pack_entry_method"),
        (build([Raw("a/b", b"x", extra=b"xx")]), "pack_entry_extra"),
        (build([Raw("a/b", b"x", comment=b"xx")]), "pack_entry_extra"),
        (build([Raw("a/b", b"x", local_extra=b"xx")]), "pack_entry_headers"),
        (build([Raw("a/b", b"x", local_name=b"a/c")]), "pack_entry_headers"),
        (build([Raw("a/b", b"x", local_size=9)]), "pack_entry_headers"),
        (build([Raw("a/b", b"x", header=1)]), "pack_entry_headers"),
        (build([Raw("a/b", b"x", attributes=0o120777 << 16)]), "pack_entry_link"),
        (build([Raw("a/b", b"x", attributes=0o060644 << 16)]), "pack_entry_link"),
        (build([Raw("a/b/", b"")]), "pack_entry_folder"),
        (build([Raw("a/b", b"", attributes=0x10)]), "pack_entry_folder"),
        (build([Raw("a/b", b"x", size=2)]), "pack_entry_size"),
        (build([Raw(b"a/\xff", b"x")]), "pack_name_character"),
        (build([Raw("a/b/c/d", b"x")]), "pack_name_deep"),
        (build([Raw("a/" + "b" * 40, b"x")]), "pack_name_long"),
    ],
)  # fmt: skip
def test_refuses(data: bytes, code: str) -> None:
    assert code in codes(data)


def test_every_fault_is_told_at_once() -> None:
    data = build(
        [Raw("../a", b"x", flags=1), Raw("nul", b"x"), Raw("a/B", b""), Raw("a/b", b"", attributes=0o120777 << 16)]
    )
    assert codes(data) >= {
        "pack_name_escapes",
        "pack_entry_encrypted",
        "pack_name_reserved",
        "pack_name_case",
        "pack_entry_link",
    }


def test_the_whole_file_is_limited_before_it_is_read() -> None:
    assert codes(build([Raw("a/b", bytes(4_999)), Raw("a/c", bytes(4_999))])) == {"pack_too_large"}


@settings(max_examples=150)
@given(st.data())
def test_no_altered_byte_crashes_it(data: st.DataObject) -> None:
    raw = bytearray(build([Raw("a/b", b"one"), Raw("a/c", b"two" * 99, DEFLATED)]))
    for _ in range(data.draw(st.integers(1, 4))):
        raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.integers(0, 255))
    with suppress(PackFaults):
        archive = Archive(io.BytesIO(bytes(raw)))
        for name in archive.entries:
            archive.read(name)
