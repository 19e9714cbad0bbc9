"""Undoes a batch: takes out of view what it brought, as long as nobody touched it since.

The head of such a case is marked *removed* and a change of kind ``removed`` tells followers; every revision stays in
the history, only private details that came with the batch are erased. A case that the batch revised is set back to
the revision it had before. Saving or adding a removed case again brings it back.
"""

from typing import Any

from sqlalchemy import Connection, Row, Select, delete, insert, select, update

from kbapp.errors import InputError
from kbapp.store.batch_list import read_batch
from kbapp.store.change_counter import last_change, take_changes
from kbapp.store.heads import parse_document
from kbapp.store.projection import case_row, delete_lines, insert_lines
from kbapp.store.saving import Stamp
from kbapp.store.tables import batch, cases, change, private, revision
from kbapp.store.values import Undone


def undo_batch(connection: Connection, batch_id: str, stamp: Stamp) -> Undone:
    """Undoes a batch in a writing transaction.

    Raises:
        InputError: ``batch_unknown`` or ``batch_undone``, it was undone before.
    """
    found = read_batch(connection, batch_id)
    if found.undone_at is not None:
        raise InputError("batch_undone", at=found.undone_at)
    untouched = connection.execute(_untouched(batch_id)).all()
    brought = [row for row in untouched if row.based_on is None]
    revised = [row for row in untouched if row.based_on is not None]
    _remove(connection, batch_id, brought, stamp)
    for row in revised:
        _set_back(connection, batch_id, row, stamp)
    connection.execute(update(batch).where(batch.c.id == batch_id).values(undone_at=stamp.at))
    done = {row.id for row in untouched}
    return Undone(
        batch=batch_id,
        removed=tuple(row.id for row in brought),
        set_back=tuple(row.id for row in revised),
        kept=tuple(case_id for case_id in found.cases if case_id not in done),
        last_change=last_change(connection),
    )


def _untouched(batch_id: str) -> Select[Any]:
    return (
        select(cases.c.id, cases.c.revision, cases.c.origin, revision.c.based_on, change.c.number)
        .join(change, change.c.number == cases.c.change)
        .join(revision, revision.c.id == cases.c.revision)
        .where(change.c.batch == batch_id, cases.c.removed.is_(False))
        .order_by(change.c.number)
    )


def _change(number: int, row: Row[Any], kind: str, head: int, batch_id: str, stamp: Stamp) -> dict[str, Any]:
    return {
        "number": number, "case_id": row.id, "kind": kind, "revision": head, "at": stamp.at, "author": stamp.author,
        "origin": row.origin, "signed_here": False, "batch": batch_id,
    }  # fmt: skip


def _remove(connection: Connection, batch_id: str, brought: list[Row[Any]], stamp: Stamp) -> None:
    if not brought:
        return
    first = take_changes(connection, len(brought))
    lines = [_change(first + n, row, "removed", row.revision, batch_id, stamp) for n, row in enumerate(brought)]
    connection.execute(insert(change), lines)
    written = (change.c.batch == batch_id) & (change.c.number >= first)
    values = {"change": change.c.number, "removed": True, "signed_here": False}
    connection.execute(update(cases).where(cases.c.id == change.c.case_id, written).values(values))
    connection.execute(delete(private).where(private.c.case_id.in_(select(change.c.case_id).where(written))))


def _set_back(connection: Connection, batch_id: str, row: Row[Any], stamp: Stamp) -> None:
    before = connection.execute(select(revision).where(revision.c.id == row.based_on)).one()
    was = connection.execute(
        select(change.c.origin, change.c.signed_here)
        .where(change.c.case_id == row.id, change.c.number < row.number)
        .order_by(change.c.number.desc())
        .limit(1)
    ).one()
    number = take_changes(connection)
    line = {
        **_change(number, row, "saved", before.id, batch_id, stamp),
        "origin": was.origin, "signed_here": was.signed_here,
    }  # fmt: skip
    connection.execute(insert(change).values(line))
    case = parse_document(before.document, before.id)
    values = {
        **case_row(case), "revision": before.id, "change": number, "saved_at": before.saved_at, "author": before.author,
        "origin": was.origin, "signed_here": was.signed_here,
    }  # fmt: skip
    connection.execute(update(cases).where(cases.c.id == row.id).values(values))
    delete_lines(connection, row.revision)
    insert_lines(connection, [(before.id, case)])
