"""Writes the bag: the same payload, signer and title give the same bytes on every PC and every day."""

import hashlib
from collections.abc import Iterator
from typing import BinaryIO

from kbapp.packs import bag
from kbapp.packs.bag import BagInfo
from kbapp.packs.entry import Signer, document
from kbapp.packs.signing import sign
from kbapp.packs.spool import Spool
from kbapp.packs.zip_writing import write_zip


def tag_files(spool: Spool, signer: Signer, title: str) -> dict[str, bytes]:
    """Returns the tag files of a bag, tag manifest included, the signature not."""
    info = BagInfo(signer.shop.name, title, spool.size, len(spool.digests))
    tags = {
        bag.DECLARATION: bag.DECLARED,
        bag.INFO: bag.info_text(info),
        bag.MANIFEST: bag.manifest_text(spool.digests),
        bag.SIGNER: document(signer),
    }
    listed = {name: hashlib.sha256(data).hexdigest() for name, data in tags.items()}
    return {**tags, bag.TAG_MANIFEST: bag.manifest_text(listed)}


def pack_id(tags: dict[str, bytes]) -> str:
    """Returns the name of exactly this content: the SHA-256 of the tag manifest."""
    return hashlib.sha256(tags[bag.TAG_MANIFEST]).hexdigest()


def write_bag(out: BinaryIO, spool: Spool, tags: dict[str, bytes], seed: bytes) -> None:
    """Writes the signed pack."""
    signed = {**tags, bag.SIGNATURE: sign(seed, tags[bag.TAG_MANIFEST])}
    write_zip(out, ((f"{bag.TOP}/{path}", data) for path, data in _all(spool, signed)))


def _all(spool: Spool, tags: dict[str, bytes]) -> Iterator[tuple[str, bytes]]:
    """Yields tag files and payload, sorted together by path."""
    before = sorted(name for name in tags if name < "data/")
    yield from ((name, tags[name]) for name in before)
    yield from spool.files()
    yield from ((name, tags[name]) for name in sorted(tags) if name not in before)
