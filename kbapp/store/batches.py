"""Adds many cases as one: staged aside in small steps, published last in one short transaction.

Staging writes revisions and their lines where no head points at them, and the rows of the heads in ``staged``. What
publishing does is a handful of statements over thin rows, so that it never keeps a save waiting for long.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import islice
from typing import Final
from uuid import uuid4

from sqlalchemy import Connection, Table, delete, func, insert, literal, select, update

from kbapp.errors import InputError, KbError
from kbapp.records.case import Case
from kbapp.records.case_document import consistency_faults
from kbapp.records.fault import DocumentFaults
from kbapp.store.batch_list import read_batch
from kbapp.store.change_counter import take_changes, take_numbers
from kbapp.store.database import Database
from kbapp.store.heads import utc_ago
from kbapp.store.private_details import private_row
from kbapp.store.projection import Row, case_row, line_rows, write_lines
from kbapp.store.saving import Stamp, revision_row
from kbapp.store.tables import LINE_TABLES, batch, cases, change, private, revision, staged, staged_private
from kbapp.store.task import QUIET, Task
from kbapp.store.values import Batch, Incoming, Origin

_STEP: Final = 200
_ABANDONED_HOURS: Final = 24
_CASE_COLUMNS: Final = tuple(one.name for one in staged.columns if one.name not in ("batch", "ordinal", "replaces"))


def add_many(
    database: Database,
    each: Callable[[], Iterator[Incoming]],
    stamp: Stamp,
    title: str = "",
    task: Task = QUIET,
) -> Batch:
    """Adds all cases or none, and returns the batch they came in as. ``each`` is called twice: to check, to stage.

    Raises:
        DocumentFaults: a case contradicts itself.
        InputError: ``batch_empty``, ``case_exists``, ``case_twice``, ``number_taken``, or ``case_moved_on``: the case
            is no longer at ``based_on``.
        Cancelled: the caller stopped the task before the cases were published.
    """
    ids, unnumbered = _checked(each())
    if not ids:
        raise InputError("batch_empty")
    with database.write() as connection:
        _sweep_abandoned(connection)
        batch_id, known = _reserve(connection, ids, unnumbered, stamp, title)
    try:
        for start, step in _steps(each()):
            task.at(start, len(ids))
            prepared = [_prepare(batch_id, start + n, known.ready(one, stamp), stamp) for n, one in enumerate(step)]
            with database.stage() as connection:
                _stage(connection, prepared)
        with database.write() as connection:
            published = _publish(connection, batch_id, len(ids))
    except BaseException:
        _tidy(database, batch_id, _discard)
        raise
    _tidy(database, batch_id, _forget_staged)
    return published


def _tidy(database: Database, batch_id: str, step: Callable[[Connection, str], None]) -> None:
    """Clears what was staged; where that fails, the next import does it."""
    with suppress(KbError), database.stage() as connection:
        step(connection, batch_id)


def _steps(incoming: Iterator[Incoming]) -> Iterator[tuple[int, list[Incoming]]]:
    start = 0
    while step := list(islice(incoming, _STEP)):
        yield start, step
        start += len(step)


def _checked(incoming: Iterator[Incoming]) -> tuple[list[str], list[Case]]:
    """Returns the ids of all cases and the cases without a number; refuses those that contradict themselves."""
    ids: dict[str, None] = {}
    unnumbered: list[Case] = []
    for one in incoming:
        faults = consistency_faults(one.case)
        if faults:
            raise DocumentFaults(faults, source=one.case.number or one.case.id)
        if one.case.id in ids:
            raise InputError("case_twice", reference=one.case.id)
        ids[one.case.id] = None
        if not one.case.number:
            unnumbered.append(one.case)
    return list(ids), unnumbered


@dataclass(frozen=True, slots=True)
class _Ready:
    """A case with its number and the origin it will have."""

    incoming: Incoming
    case: Case
    origin: Origin


@dataclass(frozen=True, slots=True)
class _Known:
    """What the book knew of the cases before: ``here`` origin and number by id, ``numbers`` given to those without."""

    here: dict[str, tuple[Origin, str]]
    numbers: dict[str, str]

    def ready(self, one: Incoming, stamp: Stamp) -> _Ready:
        """Returns a case with its number and origin."""
        here = self.here.get(one.case.id)
        number = one.case.number or (here[1] if here else self.numbers[one.case.id])
        case = one.case if one.case.number else one.case.model_copy(update={"number": number})
        keeps_origin = here is not None and one.based_on is not None and here[0] != "outside"
        return _Ready(one, case, here[0] if here and keeps_origin else stamp.origin)


def _reserve(
    connection: Connection, ids: Sequence[str], unnumbered: Sequence[Case], stamp: Stamp, title: str
) -> tuple[str, _Known]:
    """Opens the batch and gives numbers to the cases that have none (numbers of a failed batch stay unused)."""
    here = dict[str, tuple[Origin, str]]()
    for start in range(0, len(ids), _STEP):
        query = select(cases.c.id, cases.c.origin, cases.c.number).where(cases.c.id.in_(ids[start : start + _STEP]))
        here |= {row.id: (row.origin, row.number) for row in connection.execute(query)}
    without = [case for case in unnumbered if case.id not in here]
    numbers = {case.id: number for case, number in zip(without, take_numbers(connection, without), strict=True)}
    batch_id = str(uuid4())
    row = {"id": batch_id, "title": title, "origin": stamp.origin, "author": stamp.author, "at": stamp.at}
    connection.execute(insert(batch).values(row))
    return batch_id, _Known(here, numbers)


@dataclass(frozen=True, slots=True)
class _Prepared:
    """Every row of a case that is to be staged; the number of its revision is still missing."""

    revision: dict[str, object]
    head: Row
    lines: dict[Table, list[Row]]
    private: Row | None


def _prepare(batch_id: str, ordinal: int, one: _Ready, stamp: Stamp) -> _Prepared:
    """Makes the rows of a case: the long part of staging, done before the lock is taken."""
    case, details = one.case, one.incoming.private
    head = {
        **case_row(case), "batch": batch_id, "ordinal": ordinal, "replaces": one.incoming.based_on, "removed": False,
        "saved_at": stamp.at, "author": stamp.author, "origin": one.origin,
        "signed_here": case.state == "proved" and one.origin != "outside",
    }  # fmt: skip
    return _Prepared(
        {**revision_row(case, stamp), "based_on": one.incoming.based_on},
        head,
        line_rows(case),
        {"batch": batch_id, **private_row(case.id, details)} if details is not None and not details.empty else None,
    )


def _stage(connection: Connection, prepared: Sequence[_Prepared]) -> None:
    wanted = insert(revision).returning(revision.c.id, sort_by_parameter_order=True)
    numbers = [int(n) for n in connection.execute(wanted, [one.revision for one in prepared]).scalars()]
    numbered = list(zip(numbers, prepared, strict=True))
    connection.execute(insert(staged), [{**one.head, "revision": number} for number, one in numbered])
    write_lines(connection, ((number, one.lines) for number, one in numbered))
    details = [one.private for one in prepared if one.private is not None]
    if details:
        connection.execute(insert(staged_private), details)


def _publish(connection: Connection, batch_id: str, count: int) -> Batch:
    mine = staged.c.batch == batch_id
    _refuse_clashes(connection, batch_id)
    first = take_changes(connection, count)
    number = (literal(first) + staged.c.ordinal).label("number")
    line = select(
        number, staged.c.id, literal("saved"), staged.c.revision, staged.c.saved_at, staged.c.author, staged.c.origin,
        staged.c.signed_here, staged.c.batch,
    ).where(mine)  # fmt: skip
    names = ["number", "case_id", "kind", "revision", "at", "author", "origin", "signed_here", "batch"]
    connection.execute(insert(change).from_select(names, line))
    ids = select(staged.c.id).where(mine)
    replaced = select(cases.c.revision).where(cases.c.id.in_(ids))
    if connection.execute(replaced.limit(1)).first():
        for table in LINE_TABLES:
            connection.execute(delete(table).where(table.c.revision.in_(replaced)))
        connection.execute(delete(cases).where(cases.c.id.in_(ids)))
    heads = select(number, *(staged.c[name] for name in _CASE_COLUMNS)).where(mine)
    connection.execute(insert(cases).from_select(["change", *_CASE_COLUMNS], heads))
    _publish_private(connection, batch_id)
    last = first + count - 1
    connection.execute(update(batch).where(batch.c.id == batch_id).values(first_change=first, last_change=last))
    return read_batch(connection, batch_id)


def _publish_private(connection: Connection, batch_id: str) -> None:
    mine = staged_private.c.batch == batch_id
    connection.execute(delete(private).where(private.c.case_id.in_(select(staged_private.c.case_id).where(mine))))
    names = [column.name for column in private.c]
    details = select(*(staged_private.c[name] for name in names)).where(mine)
    connection.execute(insert(private).from_select(names, details))


def _refuse_clashes(connection: Connection, batch_id: str) -> None:
    mine = staged.c.batch == batch_id
    both = select(staged.c.id, staged.c.number).outerjoin(cases, cases.c.id == staged.c.id).where(mine)
    here = both.where(staged.c.replaces.is_(None), cases.c.removed.is_(False))
    moved = both.where(
        staged.c.replaces.is_not(None),
        cases.c.id.is_(None) | cases.c.removed.is_(True) | (cases.c.revision != staged.c.replaces),
    )
    other = cases.alias()
    taken = (
        select(staged.c.id, staged.c.number)
        .join(other, (other.c.number == staged.c.number) & (other.c.id != staged.c.id))
        .where(mine, staged.c.origin != "outside", other.c.origin != "outside")
    )
    twice = (
        select(func.min(staged.c.id).label("id"), staged.c.number)
        .where(mine, staged.c.origin != "outside")
        .group_by(staged.c.number)
        .having(func.count() > 1)
    )
    for code, query in (
        ("case_exists", here),
        ("case_moved_on", moved),
        ("number_taken", taken),
        ("number_taken", twice),
    ):
        row = connection.execute(query.limit(1)).first()
        if row:
            raise InputError(code, reference=row.number or row.id, number=row.number)


def _discard(connection: Connection, batch_id: str) -> None:
    """Removes a batch that was not published, with the revisions nobody saw."""
    numbers = connection.execute(select(staged.c.revision).where(staged.c.batch == batch_id)).scalars().all()
    _forget_staged(connection, batch_id)
    for start in range(0, len(numbers), _STEP):
        step = numbers[start : start + _STEP]
        for table in LINE_TABLES:
            connection.execute(delete(table).where(table.c.revision.in_(step)))
        connection.execute(delete(revision).where(revision.c.id.in_(step)))
    connection.execute(delete(batch).where(batch.c.id == batch_id))


def _forget_staged(connection: Connection, batch_id: str) -> None:
    connection.execute(delete(staged_private).where(staged_private.c.batch == batch_id))
    connection.execute(delete(staged).where(staged.c.batch == batch_id))


def _sweep_abandoned(connection: Connection) -> None:
    """Removes what imports left behind: those published, and those that ended in a crash more than a day ago."""
    published = select(batch.c.id).where(batch.c.first_change.is_not(None))
    for table in (staged, staged_private):
        connection.execute(delete(table).where(table.c.batch.in_(published)))
    query = select(batch.c.id).where(batch.c.first_change.is_(None), batch.c.at < utc_ago(_ABANDONED_HOURS))
    for batch_id in connection.execute(query).scalars().all():
        _discard(connection, batch_id)
