"""Remembers the packs made and read, on the book's shelf: what was sent of each case, and what came with whom.

From it follow a case's lineage, what a pack brings that is known already, and which comebacks and withdrawals the
shops that hold a case have yet to hear of.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from kbapp.packs.entry import MOST_PARENTS
from kbapp.store.book import Book

MADE: Final = "pack_made"
READ: Final = "pack_read"
BAD_NEWS: Final = ("came_back", "withdrawn")
"""States of a case that whoever received it has to hear of."""


@dataclass(frozen=True, slots=True)
class Sent:
    """A case as it went out with a pack: digest of what left the book, the revision it was made from, its state."""

    digest: str
    revision: int
    state: str


@dataclass(frozen=True, slots=True)
class MadePack:
    """A pack this book made. ``cases``: what was sent, by id."""

    pack_id: str
    at: str
    by: str
    title: str
    file: str
    cases: Mapping[str, Sent]


@dataclass(frozen=True, slots=True)
class Came:
    """A case as it came with a pack: digest and parents of the version that was taken in or settled with."""

    digest: str
    parents: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadPack:
    """A pack this book read. ``batch`` is what ``undo`` takes back (empty: no case was added)."""

    pack_id: str
    at: str
    by: str
    title: str
    file: str
    shop: str
    shop_id: str
    fingerprint: str
    batch: str
    undone: bool
    cases: Mapping[str, Came]
    maps: tuple[str, ...]


class PackHistory:
    """The packs of a book as they stand now."""

    def __init__(self, book: Book) -> None:
        undone = {batch.id for batch in book.batches() if batch.undone_at is not None}
        made = sorted(book.all_shelved(MADE), key=lambda one: one.version)
        self.made = tuple(_made(one.key, one.saved_at, one.author, json.loads(one.document)) for one in made)
        read = sorted(book.all_shelved(READ), key=lambda one: one.version)
        self.read = tuple(_read(one.saved_at, one.author, json.loads(one.document), undone) for one in read)

    def sent(self, case_id: str) -> tuple[Sent, ...]:
        """Returns what was sent of a case, the oldest first."""
        return tuple(pack.cases[case_id] for pack in self.made if case_id in pack.cases)

    def known(self, case_id: str) -> tuple[str, ...]:
        """Returns the digests of versions that came in or went out, the oldest first."""
        came = [pack.cases[case_id] for pack in self.read if not pack.undone and case_id in pack.cases]
        digests = [digest for one in came for digest in (*one.parents, one.digest)]
        return tuple(dict.fromkeys([*digests, *(one.digest for one in self.sent(case_id))]))

    def parents(self, case_id: str, digest: str) -> tuple[str, ...]:
        """Returns the versions that a version about to be sent comes from."""
        return tuple(one for one in self.known(case_id) if one != digest)[-MOST_PARENTS:]

    def brought_by(self, case_id: str) -> frozenset[str]:
        """Returns the fingerprints of the keys under which versions of a case came in."""
        return frozenset(pack.fingerprint for pack in self.read if not pack.undone and case_id in pack.cases)

    def everything_sent(self) -> tuple[str, ...]:
        """Returns the ids of all cases that ever went out."""
        return tuple(dict.fromkeys(case_id for pack in self.made for case_id in pack.cases))


def _made(key: str, at: str, by: str, document: dict[str, Any]) -> MadePack:
    cases = {case_id: Sent(*line) for case_id, line in document["cases"].items()}
    return MadePack(key, at, by, document["title"], document["file"], cases)


def _read(at: str, by: str, document: dict[str, Any], undone: set[str]) -> ReadPack:
    cases = {case_id: Came(line[0], tuple(line[1])) for case_id, line in document["cases"].items()}
    return ReadPack(
        document["pack"], at, by, document["title"], document["file"], document["shop"], document["shop_id"],
        document["fingerprint"], document["batch"], document["batch"] in undone or document["undone"], cases,
        tuple(document["maps"]),
    )  # fmt: skip


def record_made(book: Book, author: str, pack_id: str, title: str, file: str, cases: Mapping[str, Sent]) -> None:
    """Notes a pack that was made; the same pack again changes nothing."""
    lines = {case_id: [one.digest, one.revision, one.state] for case_id, one in cases.items()}
    book.put_shelved(MADE, pack_id, json.dumps({"title": title, "file": file, "cases": lines}), author)


def forget_made(book: Book, author: str, pack_id: str) -> None:
    """Takes the note of a pack back that could not be put in its place."""
    book.put_shelved(MADE, pack_id, "", author)


def record_read(book: Book, author: str, pack: ReadPack) -> None:
    """Notes a pack that was read."""
    cases = {case_id: [one.digest, list(one.parents)] for case_id, one in pack.cases.items()}
    document = {
        "pack": pack.pack_id, "title": pack.title, "file": pack.file, "shop": pack.shop, "shop_id": pack.shop_id,
        "fingerprint": pack.fingerprint, "batch": pack.batch, "undone": pack.undone, "maps": list(pack.maps),
        "cases": cases,
    }  # fmt: skip
    book.put_shelved(READ, _key(pack), json.dumps(document), author)


def _key(pack: ReadPack) -> str:
    """A pack can be read again after it was undone: each reading is a document of its own."""
    return f"{pack.pack_id}:{pack.batch}"


def find_read(packs: Iterable[ReadPack], reference: str) -> list[ReadPack]:
    """Returns the packs read whose pack id or batch begins like ``reference``, the latest first."""
    wanted = reference.strip().lower()
    return [
        one
        for one in reversed(list(packs))
        if wanted and (one.pack_id.startswith(wanted) or one.batch.startswith(wanted))
    ]
