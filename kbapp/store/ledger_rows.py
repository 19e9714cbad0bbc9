"""Reads columns of the projection as plain values, for figures over the whole book."""

import gc
import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Final, Literal

from sqlalchemy import Column, ColumnElement, Connection, Select, Table, func, literal, select

from kbapp.store.heads import IN_VIEW
from kbapp.store.tables import cases, link, part, revision, symptom, test

LineKind = Literal["symptom", "link", "part", "test"]
_TABLES: Final = {"symptom": symptom, "link": link, "part": part, "test": test}
Columns = tuple[tuple[Any, ...], ...]
"""One tuple a column, as the driver gave the values: SQLite has 0 and 1 for truth values."""
PACKED_BY: Final = "\x1f"
"""Stands between packed texts; no text of a record can hold it."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Columns to read: ``single`` ones as they are, and groups of texts packed into one text each.

    Packing texts that repeat (make, state, purpose) makes one value to read and to tell apart out of many.
    """

    single: tuple[str, ...]
    packed: tuple[tuple[str, ...], ...] = ()


def case_columns(connection: Connection, wanted: Wanted) -> Columns:
    """Returns these columns of every case in view: the single ones, then the packed ones."""
    return _read(connection, select(*_columns(cases, wanted)).where(IN_VIEW))


def line_columns(connection: Connection, kind: LineKind, wanted: Wanted) -> Columns:
    """Returns these columns of every line of a kind: the single ones, then the packed ones.

    Lines of cases that are not in view are among them: the revision tells.
    """
    return _read(connection, select(*_columns(_TABLES[kind], wanted)))


def _columns(table: Table, wanted: Wanted) -> list[ColumnElement[Any]]:
    singles: list[ColumnElement[Any]] = [table.c[name] for name in wanted.single]
    return [*singles, *(_packed([table.c[name] for name in names]) for names in wanted.packed)]


def _packed(columns: Sequence[Column[Any]]) -> ColumnElement[str]:
    texts = [func.coalesce(column, "") if column.nullable else column for column in columns]
    whole: ColumnElement[str] = texts[0]
    for one in texts[1:]:
        whole = whole.concat(literal(PACKED_BY)).concat(one)
    return whole


def _read(connection: Connection, query: Select[Any]) -> Columns:
    # the driver's own rows: wrapping hundreds of thousands of them would take longer than reading them
    cursor: Any = connection.execute(query).cursor
    with _uncollected():
        rows = cursor.fetchall()
        return tuple(zip(*rows, strict=True)) if rows else ((),) * len(query.selected_columns)


@contextmanager
def _uncollected() -> Iterator[None]:
    """Holds the garbage collector off: it would walk through all rows again and again, and none of them is garbage."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


def stamped_parts(connection: Connection) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yields case id and part entry (as in the document) of every part the swap guard stamped, cases in view only.

    Only documents that carry a stamp are read as JSON; the rest is passed over by the database.
    """
    query = select(cases.c.id, revision.c.document).join(revision, revision.c.id == cases.c.revision)
    # the pattern begins with a rare letter: a document is mostly quotation marks, at each of which SQLite would try
    for case_id, document in connection.execute(query.where(IN_VIEW, revision.c.document.like('%guard":%'))):
        for entry in json.loads(document).get("timeline", ()):
            if entry.get("kind") == "part" and "guard" in entry:
                yield case_id, entry
