"""Verifying a bag; with the bagit library as oracle, and where we are stricter than it."""

import hashlib
import io
import logging
import zipfile
from pathlib import Path

import bagit
import pytest

from kbapp.errors import InputError
from kbapp.packs.archive import Archive
from kbapp.packs.faults import PackFaults
from kbapp.packs.verifying import verify
from tests.packs import forge
from tests.packs.raw_zip import Raw, build
from tests.packs.world import document

PAYLOAD = {
    f"data/cases/{'3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10'}.json": b"{}",
    f"data/files/{hashlib.sha256(b'x').hexdigest()}": b"x",
}


def codes(files: dict[str, bytes]) -> set[str]:
    try:
        verify(Archive(io.BytesIO(forge.zipped(files))), "pack.zip")
    except PackFaults as error:
        return {fault.code for fault in error.faults}
    return set()


def with_library(files: dict[str, bytes], folder: Path, *, fast: bool = False) -> bool:
    """Returns whether the bagit library finds a bag sound (oracle; it logs what it finds wrong)."""
    for path, data in files.items():
        place = folder / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(data)
    logging.disable(logging.CRITICAL)
    try:
        return bool(bagit.Bag(str(folder)).is_valid(fast=fast))
    except bagit.BagError:
        return False
    finally:
        logging.disable(logging.NOTSET)


@pytest.mark.outside
def test_a_pack_is_a_bag_to_the_library(pack: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(pack) as archive:
        archive.extractall(tmp_path / "bag")
    assert bagit.Bag(str(tmp_path / "bag" / "provebook-pack")).is_valid()


@pytest.mark.outside
def test_both_refuse_what_is_altered_missing_or_added(tmp_path: Path) -> None:
    good = forge.tags(PAYLOAD)
    name = next(iter(PAYLOAD))
    missing = {path: data for path, data in good.items() if path != name}
    for n, files in enumerate((good | {name: b"[]"}, missing, good | {"data/more.txt": b"x"})):
        assert codes(files)
        assert not with_library(files, tmp_path / str(n))


@pytest.mark.outside
def test_we_are_stricter_where_the_library_is_lax(tmp_path: Path) -> None:
    """It takes a deleted tag manifest, an unlisted tag file, and (fast) payload altered at the same length."""
    good = forge.tags(PAYLOAD)
    name = next(iter(PAYLOAD))
    no_tags = {path: data for path, data in good.items() if path != "tagmanifest-sha256.txt"}
    lax = [(no_tags, False), (good | {"extra.txt": b"x"}, False), (good | {name: b"[]"}, True)]
    for n, (files, fast) in enumerate(lax):
        assert with_library(files, tmp_path / str(n), fast=fast)
        assert codes(files)


def test_a_sound_bag_says_what_it_holds() -> None:
    found = verify(Archive(io.BytesIO(forge.zipped(forge.tags(PAYLOAD)))))
    assert found.digests == {path: hashlib.sha256(data).hexdigest() for path, data in PAYLOAD.items()}
    assert found.signer.shop.name == "Copperhill Auto Electrics"
    assert found.pack_id == hashlib.sha256(forge.tags(PAYLOAD)["tagmanifest-sha256.txt"]).hexdigest()


@pytest.mark.parametrize(
    "name",
    [
        "bagit.txt",
        "bag-info.txt",
        "manifest-sha256.txt",
        "tagmanifest-sha256.txt",
        "signer.json",
        "signature.ed25519",
        *PAYLOAD,
    ],
)
def test_each_file_is_needed_and_proved(name: str) -> None:
    good = forge.tags(PAYLOAD)
    assert codes(good) == set()
    assert codes({path: data for path, data in good.items() if path != name}) & {
        "pack_file_missing",
        "pack_signature_wrong",
    }
    assert codes(good | {name: good[name] + b"\n"})


@pytest.mark.parametrize("name", ["fetch.txt", "manifest-md5.txt", "note.txt", "data/note.txt", "data/cases/x.json"])
def test_nothing_unlisted_or_unexpected_stands_in_a_pack(name: str) -> None:
    assert "pack_file_unlisted" in codes(forge.tags(PAYLOAD) | {name: b"x"})


def test_a_listed_file_outside_the_format_is_refused_too() -> None:
    assert "pack_file_unexpected" in codes(forge.tags(PAYLOAD | {"data/note.txt": b"x"}))


def test_everything_is_told_at_once() -> None:
    files = forge.tags(PAYLOAD, bagit=b"BagIt-Version: 0.97\n", bag_info=b"Payload-Oxum: 9.9\n")
    files |= {next(iter(PAYLOAD)): b"[]", "data/more": b"x", "signature.ed25519": bytes(64)}
    assert codes(files) >= {
        "pack_declaration",
        "pack_oxum_differs",
        "pack_file_altered",
        "pack_file_unlisted",
        "pack_signature_wrong",
    }


def test_one_folder_at_the_top() -> None:
    data = build([Raw("a/bagit.txt"), Raw("b/bagit.txt"), Raw("loose")])
    with pytest.raises(PackFaults) as caught:
        verify(Archive(io.BytesIO(data)))
    assert caught.value.faults[0].code == "pack_top"


def test_a_newer_pack_is_said_to_be_newer_whatever_else_it_holds() -> None:
    files = forge.tags(PAYLOAD, signer=b'{"format": "provebook-pack/2", "keys": []}') | {"new.txt": b"x"}
    with pytest.raises(InputError, match="pack_newer"):
        verify(Archive(io.BytesIO(forge.zipped(files))), "pack.zip")


@pytest.mark.parametrize("key", ["0" * 64, "01" + "0" * 62])
def test_keys_under_which_anybody_signs(key: str) -> None:
    signer = (
        b'{"format":"provebook-pack/1","public_key":"%s","shop":{"id":"8d2e61f4-17c3-4f0a-b6a5-94e0c7d3aa25"}}'
        % key.encode()
    )
    files = forge.tags(PAYLOAD, signer=signer) | {"signature.ed25519": b"\1" + bytes(63)}
    assert codes(files) == {"pack_key_weak"}


# Bags of the conformance kind, made by hand after RFC 8493 (sections 2.1 to 2.2.2): each a variation of a sound one.
CASE = document(shop=forge.SHOP)
BODY = forge.entry(CASE)
PATH = f"data/cases/{CASE['id']}.json"
SUM = hashlib.sha256(BODY).hexdigest().encode()


@pytest.mark.parametrize(
    ("manifest", "taken"),
    [
        (SUM + b"  " + PATH.encode() + b"\n", True),
        (SUM.upper() + b"  " + PATH.encode() + b"\n", True),  # section 2.4: digests are not case sensitive
        (SUM + b"\t" + PATH.encode() + b"\n", True),  # any linear whitespace
        (SUM + b"  ./" + PATH.encode() + b"\n", False),
        (SUM + b"  /" + PATH.encode() + b"\n", False),
        (SUM + b"  ~/" + PATH.encode() + b"\n", False),
        (SUM + b" *" + PATH.encode() + b"\n", False),
        (SUM + b"  " + PATH.encode() + b"\r\n", False),
        (b"", False),
    ],
)
def test_conformance_bags(manifest: bytes, taken: bool) -> None:
    assert (codes(forge.tags({PATH: BODY}, manifest=manifest)) == set()) is taken
