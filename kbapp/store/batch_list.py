"""Reads which batches of cases came into the book."""

from typing import Any, cast

from sqlalchemy import Connection, Row, select

from kbapp.errors import InputError
from kbapp.store.tables import batch, change
from kbapp.store.values import Batch, Origin


def read_batch(connection: Connection, batch_id: str) -> Batch:
    """Returns a batch with the ids of its cases.

    Raises:
        InputError: ``batch_unknown``.
    """
    row = connection.execute(select(batch).where(batch.c.id == batch_id, batch.c.first_change.is_not(None))).first()
    if row is None:
        raise InputError("batch_unknown", reference=batch_id)
    ids = connection.execute(select(change.c.case_id).where(change.c.batch == batch_id).order_by(change.c.number))
    return _batch(row, tuple(dict.fromkeys(ids.scalars())))


def list_batches(connection: Connection) -> tuple[Batch, ...]:
    """Returns every batch, the latest first, without the ids of its cases."""
    query = select(batch).where(batch.c.first_change.is_not(None)).order_by(batch.c.first_change.desc())
    return tuple(_batch(row, ()) for row in connection.execute(query))


def _batch(row: Row[Any], ids: tuple[str, ...]) -> Batch:
    return Batch(
        id=row.id,
        title=row.title,
        origin=cast("Origin", row.origin),
        author=row.author,
        at=row.at,
        count=row.last_change - row.first_change + 1,
        first_change=row.first_change,
        last_change=row.last_change,
        cases=ids,
        undone_at=row.undone_at,
    )
