"""Makes the projection anew from what a book is made of: its revisions and changes."""

from collections.abc import Iterator
from typing import Any, Final

from sqlalchemy import Connection, delete, func, insert, select

from kbapp.records.case import Case
from kbapp.store.heads import parse_document
from kbapp.store.projection import Row, case_row, insert_lines
from kbapp.store.tables import LINE_TABLES, cases, change, revision, staged
from kbapp.store.task import QUIET, Task

_STEP: Final = 200


def rebuild(connection: Connection, task: Task = QUIET) -> int:
    """Writes the heads and their lines anew in a writing transaction, and returns how many cases there are.

    Raises:
        DamageError: ``document_damaged``, a document cannot be read.
    """
    in_staging = select(staged.c.revision)
    for table in LINE_TABLES:
        connection.execute(delete(table).where(table.c.revision.not_in(in_staging)))
    connection.execute(delete(cases))
    of, done = count_heads(connection), 0
    for step in computed_heads(connection):
        connection.execute(insert(cases), [row for row, _ in step])
        insert_lines(connection, [(row["revision"], case) for row, case in step])
        done += len(step)
        task.at(done, of)
    return done


def count_heads(connection: Connection) -> int:
    """Returns how many cases the change feed knows."""
    return int(connection.execute(select(func.count(change.c.case_id.distinct()))).scalar_one())


def computed_heads(connection: Connection) -> Iterator[list[tuple[Row, Case]]]:
    """Yields what the rows of ``cases`` must be, with the documents, in steps and by their latest change."""
    latest = select(func.max(change.c.number)).group_by(change.c.case_id)
    query = (
        select(
            change.c.number, change.c.kind, change.c.origin, change.c.signed_here,
            revision.c.id, revision.c.document, revision.c.saved_at, revision.c.author,
        )
        .join(revision, revision.c.id == change.c.revision)
        .where(change.c.number.in_(latest))
        .order_by(change.c.number)
        .limit(_STEP)
    )  # fmt: skip
    after = 0
    while rows := connection.execute(query.where(change.c.number > after)).all():
        yield [_computed(row) for row in rows]
        after = rows[-1].number


def _computed(row: Any) -> tuple[Row, Case]:
    case = parse_document(row.document, row.id)
    head = {
        **case_row(case), "revision": row.id, "change": row.number, "removed": row.kind == "removed",
        "saved_at": row.saved_at, "author": row.author, "origin": row.origin, "signed_here": row.signed_here,
    }  # fmt: skip
    return head, case
