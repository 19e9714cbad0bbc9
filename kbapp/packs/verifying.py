"""Proves a pack before anything of it is used: the whole bag listed, present and unaltered, and the signature good."""

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from pydantic import ValidationError

from kbapp.errors import InputError
from kbapp.packs import bag
from kbapp.packs.archive import Archive
from kbapp.packs.bag import BagInfo
from kbapp.packs.curve import is_sound_key
from kbapp.packs.entry import PACK_FORMAT, Signer
from kbapp.packs.faults import PackFaults
from kbapp.packs.signing import fingerprint, verifies
from kbapp.records.fault import Fault, shorten
from kbapp.records.json_text import read_json
from kbapp.records.validation import faults_of, format_fault

Progress = Callable[[int, int], None]

_TAG_LIMIT: Final = 8 * 1024 * 1024


def _silent(_done: int, _of: int) -> None:
    return None


@dataclass(frozen=True, slots=True)
class Bag:
    """A proved pack: who signed it, what it says of itself, and the digest of every payload file by its path.

    ``pack_id`` is the SHA-256 of the tag manifest: the name of exactly this content.
    """

    pack_id: str
    top: str
    signer: Signer
    fingerprint: str
    info: BagInfo
    digests: dict[str, str]

    def paths(self, folder: str) -> list[str]:
        """Returns the payload paths under a folder, sorted."""
        return sorted(path for path in self.digests if path.startswith(folder))


def verify(archive: Archive, source: str = "", progress: Progress = _silent) -> Bag:
    """Returns what the pack holds, after proving all of it.

    Raises:
        InputError: ``pack_newer``, a newer Provebook made it.
        PackFaults: everything unlisted, missing, altered or unsigned, all at once.
    """
    top, faults = _top(archive)
    if faults:
        raise PackFaults(faults, source)
    tags = _Tags(archive, top)
    tags.refuse_newer(source)
    digests = dict(_digests(archive, top, tags, progress))
    tags.check(digests)
    if tags.faults or tags.signer is None or tags.info is None:
        raise PackFaults(tags.faults, source)
    key = bytes.fromhex(tags.signer.public_key)
    return Bag(
        hashlib.sha256(tags.data[bag.TAG_MANIFEST]).hexdigest(), top, tags.signer, fingerprint(key), tags.info,
        tags.listed,
    )  # fmt: skip


def read_payload(archive: Archive, found: Bag, path: str) -> bytes:
    """Returns a payload file, proved once more against the manifest.

    Raises:
        PackFaults: the file on the disk was altered since the pack was verified.
    """
    data = archive.read(f"{found.top}/{path}")
    if hashlib.sha256(data).hexdigest() != found.digests[path]:
        raise PackFaults([Fault(path, "pack_file_altered")])
    return data


def _top(archive: Archive) -> tuple[str, list[Fault]]:
    tops = {name.partition("/")[0] for name in archive.entries}
    loose = [name for name in archive.entries if "/" not in name]
    if len(tops) != 1 or loose:
        return "", [Fault("", "pack_top", shorten(", ".join(sorted(tops)[:3])))]
    return next(iter(tops)), []


class _Tags:
    """The tag files of one pack, and the faults found with them."""

    def __init__(self, archive: Archive, top: str) -> None:
        self.faults: list[Fault] = []
        self.data: dict[str, bytes] = {}
        self.listed: dict[str, str] = {}
        self.signer: Signer | None = None
        self.info: BagInfo | None = None
        for name in (*bag.TAGGED, bag.TAG_MANIFEST, bag.SIGNATURE):
            self._take(archive, top, name)

    def _take(self, archive: Archive, top: str, name: str) -> None:
        entry = archive.entries.get(f"{top}/{name}")
        if entry is None:
            self.faults.append(Fault(name, "pack_file_missing"))
        elif entry.size > _TAG_LIMIT:
            self.faults.append(Fault(name, "pack_entry_large", str(entry.size), str(_TAG_LIMIT)))
        else:
            try:
                self.data[name] = archive.read(f"{top}/{name}")
            except PackFaults as error:
                self.faults += error.faults

    def refuse_newer(self, source: str) -> None:
        """Refuses a pack of a newer format at once: what else it holds cannot be judged."""
        value = read_json(self.data.get(bag.SIGNER, b"")).value
        if isinstance(value, dict):
            version = format_fault(value, PACK_FORMAT)
            if version and version.code == "format_newer":
                raise InputError("pack_newer", where=source, found=version.found)

    def check(self, digests: dict[str, str]) -> None:
        """Checks everything against everything; ``digests`` are those of all files but tag manifest and signature."""
        if self.data.get(bag.DECLARATION, bag.DECLARED) != bag.DECLARED:
            self.faults.append(Fault(bag.DECLARATION, "pack_declaration", shorten(repr(self.data[bag.DECLARATION]))))
        self._check_signer()
        tagged = self._manifest(bag.TAG_MANIFEST)
        self.listed = self._manifest(bag.MANIFEST)
        tag_files = {path: digest for path, digest in digests.items() if not path.startswith("data/")}
        self.faults += _compare(tagged, tag_files)
        self.faults += [Fault(shorten(path), "pack_file_unexpected") for path in tagged if path not in bag.TAGGED]
        payload = {path: digest for path, digest in digests.items() if path.startswith("data/")}
        self.faults += _compare(self.listed, payload)
        self.faults += [Fault(shorten(path), "pack_file_unexpected") for path in self.listed if not _expected(path)]
        self._check_signature()

    def check_oxum(self, size: int, count: int) -> None:
        """Checks what the bag says its payload comes to."""
        if bag.INFO not in self.data:
            return
        checked = bag.read_info(self.data[bag.INFO])
        self.faults += checked.faults
        self.info = checked.value
        if self.info and (self.info.size, self.info.files) != (size, count):
            said = f"{self.info.size}.{self.info.files}"
            self.faults.append(Fault(bag.INFO, "pack_oxum_differs", said, f"{size}.{count}"))

    def _manifest(self, name: str) -> dict[str, str]:
        checked = bag.read_manifest(self.data.get(name, b""), name)
        self.faults += checked.faults
        return checked.value or {}

    def _check_signer(self) -> None:
        if bag.SIGNER not in self.data:
            return
        text = read_json(self.data[bag.SIGNER])
        if text.value is None:
            self.faults += [Fault(bag.SIGNER, fault.code, fault.found, fault.expected) for fault in text.faults]
            return
        try:
            self.signer = Signer.model_validate(text.value)
        except ValidationError as error:
            found = faults_of(error)
            self.faults += [Fault(f"{bag.SIGNER} {f.path}".strip(), f.code, f.found, f.expected) for f in found]

    def _check_signature(self) -> None:
        if self.signer is None or not {bag.SIGNATURE, bag.TAG_MANIFEST} <= self.data.keys():
            return
        key = bytes.fromhex(self.signer.public_key)
        if not is_sound_key(key):
            self.faults.append(Fault(bag.SIGNER, "pack_key_weak"))
        elif not verifies(key, self.data[bag.TAG_MANIFEST], self.data[bag.SIGNATURE]):
            self.faults.append(Fault(bag.SIGNATURE, "pack_signature_wrong"))


def _expected(path: str) -> bool:
    return not path.startswith("data/") or bag.is_payload_path(path)


def _compare(listed: dict[str, str], present: dict[str, str]) -> Iterator[Fault]:
    for path, digest in listed.items():
        if path not in present:
            yield Fault(shorten(path), "pack_file_missing")
        elif present[path] and present[path] != digest:
            yield Fault(shorten(path), "pack_file_altered")
    for path in present:
        if path not in listed:
            yield Fault(shorten(path), "pack_file_unlisted")


def _digests(archive: Archive, top: str, tags: _Tags, progress: Progress) -> Iterator[tuple[str, str]]:
    """Yields the digest of every file that a manifest lists; an empty one where the file's bytes are damaged."""
    size = count = 0
    for done, name in enumerate(archive.entries):
        progress(done, len(archive.entries))
        path = name.removeprefix(f"{top}/")
        if path in (bag.TAG_MANIFEST, bag.SIGNATURE):
            continue
        if path.startswith("data/"):
            size, count = size + archive.entries[name].size, count + 1
        proof = hashlib.sha256()
        try:
            for piece in archive.chunks(name):
                proof.update(piece)
        except PackFaults as error:
            tags.faults += [fault for fault in error.faults if fault not in tags.faults]
            yield path, ""
            continue
        yield path, proof.hexdigest()
    tags.check_oxum(size, count)


def source_name(path: Path) -> str:
    """Returns a pack's file name as it is shown."""
    return shorten(path.name)
