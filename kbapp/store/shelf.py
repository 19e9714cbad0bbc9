"""Keeps the shop's own documents that are no cases (maps, kit, words, trusted keys): every version, by kind and key."""

from dataclasses import dataclass

from sqlalchemy import Connection, func, insert, select

from kbapp.errors import InputError
from kbapp.store.saving import Stamp
from kbapp.store.tables import shelf


@dataclass(frozen=True, slots=True)
class Shelved:
    """One version of a document; ``version`` rises with every document put on the shelf."""

    version: int
    kind: str
    key: str
    document: str
    author: str
    saved_at: str


_COLUMNS = (shelf.c.id, shelf.c.kind, shelf.c.key, shelf.c.document, shelf.c.author, shelf.c.saved_at)


def put(
    connection: Connection, kind: str, key: str, document: str, stamp: Stamp, based_on: int | None = None
) -> Shelved | None:
    """Puts a version of a document on the shelf and returns it; an empty one takes it off, the same again is no change.

    Raises:
        InputError: ``shelf_moved_on``, ``based_on`` is given and no longer the latest version.
    """
    before = get(connection, kind, key)
    if based_on is not None and (before is None or before.version != based_on):
        raise InputError("shelf_moved_on", kind=kind, key=key)
    if document != (before.document if before else ""):
        row = {"kind": kind, "key": key, "document": document, "author": stamp.author, "saved_at": stamp.at}
        connection.execute(insert(shelf).values(row))
    return get(connection, kind, key)


def get(connection: Connection, kind: str, key: str) -> Shelved | None:
    """Returns the latest version of a document, or None where it is not on the shelf."""
    query = select(*_COLUMNS).where(shelf.c.kind == kind, shelf.c.key == key).order_by(shelf.c.id.desc()).limit(1)
    row = connection.execute(query).first()
    return Shelved(*row) if row and row.document else None


def all_of(connection: Connection, kind: str) -> tuple[Shelved, ...]:
    """Returns the latest version of every document of a kind, by key."""
    latest = select(func.max(shelf.c.id)).where(shelf.c.kind == kind).group_by(shelf.c.key)
    query = select(*_COLUMNS).where(shelf.c.id.in_(latest), shelf.c.document != "")
    return tuple(sorted((Shelved(*row) for row in connection.execute(query)), key=lambda one: one.key))


def versions(connection: Connection, kind: str, key: str) -> tuple[Shelved, ...]:
    """Returns every version of a document, the latest first; the moments it was off the shelf are left out."""
    query = select(*_COLUMNS).where(shelf.c.kind == kind, shelf.c.key == key, shelf.c.document != "")
    return tuple(Shelved(*row) for row in connection.execute(query.order_by(shelf.c.id.desc())))
