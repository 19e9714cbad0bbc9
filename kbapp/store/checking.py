"""Proves that a book agrees with itself: projection = documents = digests = files = counters."""

import hashlib
from collections.abc import Iterator
from typing import Any, Final

import rfc8785
from pydantic import ValidationError
from sqlalchemy import Connection, Table, func, select

from kbapp.errors import DamageError, KbError
from kbapp.records.case import Case
from kbapp.records.case_document import canonical
from kbapp.records.fault import Fault, shorten
from kbapp.store.database import Database
from kbapp.store.files import Files
from kbapp.store.private_details import private_keys
from kbapp.store.projection import Row, line_rows
from kbapp.store.rebuilding import computed_heads, count_heads
from kbapp.store.sign_offs import log_faults
from kbapp.store.tables import LINE_TABLES, batch, cases, change, counter, file, private, revision, staged
from kbapp.store.task import Task

_STEP: Final = 200


def check(database: Database, files: Files, task: Task) -> tuple[Fault, ...]:
    """Returns every way in which the book does not agree with itself; none in a sound book.

    Raises:
        DamageError: the database is too damaged to be read at all.
    """
    faults: list[Fault] = []
    with database.read() as connection:
        documents = int(connection.execute(select(func.count()).select_from(revision)).scalar_one())
        of = documents + count_heads(connection) + _count(connection, file)
        done = 0
        faults += _database_faults(connection)
        faults += _feed_faults(connection)
        for part in (_document_faults(connection), _head_faults(connection), _file_faults(connection, files)):
            for steps, found in part:
                faults += found
                done += steps
                task.at(min(done, of), of)
        faults += _orphans(connection)
        faults += _private_faults(connection)
        faults += _number_faults(connection)
        faults += log_faults(connection)
    return tuple(faults)


def _count(connection: Connection, table: Table) -> int:
    return int(connection.execute(select(func.count()).select_from(table)).scalar_one())


def _database_faults(connection: Connection) -> Iterator[Fault]:
    if connection.dialect.name != "sqlite":
        return
    for (said,) in connection.exec_driver_sql("PRAGMA integrity_check(20)"):
        if said != "ok":
            yield Fault("book.db", "check_database", shorten(said))
    for row in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        yield Fault(f"{row[0]}.{row[1]}", "check_orphan", str(row[2]))


def _feed_faults(connection: Connection) -> Iterator[Fault]:
    last = 0
    query = (
        select(change.c.number, change.c.case_id, change.c.revision, revision.c.case_id.label("owner"))
        .outerjoin(revision, revision.c.id == change.c.revision)
        .order_by(change.c.number)
    )
    for row in connection.execute(query):
        if row.number != last + 1:
            yield Fault(f"change.{row.number}", "check_feed", str(row.number), str(last))
        if row.owner != row.case_id:
            yield Fault(f"change.{row.number}", "check_change", str(row.revision), row.case_id)
        last = row.number
    stands_at = connection.execute(select(counter.c.change)).scalars().all()
    if stands_at != [last]:
        yield Fault("counter", "check_counter", ", ".join(map(str, stands_at)), str(last))


_Steps = Iterator[tuple[int, list[Fault]]]


def _document_faults(connection: Connection) -> _Steps:
    query = select(revision.c.id, revision.c.case_id, revision.c.document, revision.c.digest).order_by(revision.c.id)
    after = 0
    while rows := connection.execute(query.where(revision.c.id > after).limit(_STEP)).all():
        yield len(rows), [fault for row in rows for fault in _of_document(row)]
        after = rows[-1].id


def _of_document(row: Any) -> Iterator[Fault]:
    path = f"revision.{row.id}"
    found = hashlib.sha256(row.document.encode("utf-8", "surrogatepass")).hexdigest()
    if found != row.digest:
        yield Fault(path, "check_digest", found, row.digest)
    try:
        case = Case.model_validate_json(row.document)
        if canonical(case).decode() != row.document:
            yield Fault(path, "check_canonical")
        if case.id != row.case_id:
            yield Fault(path, "check_change", case.id, row.case_id)
    except (ValidationError, rfc8785.CanonicalizationError):
        yield Fault(path, "check_document")


def _head_faults(connection: Connection) -> _Steps:
    heads = computed_heads(connection)
    known = 0
    while True:
        try:
            step = next(heads, None)
        except DamageError:
            # the document was reported already; what follows cannot be compared
            yield 0, [Fault("cases", "check_document")]
            return
        if step is None:
            break
        known += len(step)
        yield len(step), _of_heads(connection, step)
    if _count(connection, cases) != known:
        yield 0, [Fault("cases", "check_orphan", str(_count(connection, cases)), str(known))]


def _of_heads(connection: Connection, step: list[tuple[Row, Case]]) -> list[Fault]:
    ids = [row["id"] for row, _ in step]
    stored = {row.id: row._asdict() for row in connection.execute(select(cases).where(cases.c.id.in_(ids)))}
    faults: list[Fault] = []
    for row, case in step:
        there = stored.get(case.id)
        if there is None:
            faults.append(Fault(f"cases.{case.id}", "check_head_missing"))
        else:
            faults += _differing(case.id, there, row)
    faults += _of_lines(connection, step)
    return faults


def _differing(case_id: str, there: Row, wanted: Row) -> Iterator[Fault]:
    for name in wanted:
        if there[name] != wanted[name]:
            yield Fault(f"cases.{case_id}.{name}", "check_head", shorten(there[name]), shorten(wanted[name]))


def _of_lines(connection: Connection, step: list[tuple[Row, Case]]) -> Iterator[Fault]:
    numbers = [row["revision"] for row, _ in step]
    wanted: dict[Table, list[Row]] = {table: [] for table in LINE_TABLES}
    for row, case in step:
        for table, lines in line_rows(case).items():
            wanted[table] += [{"revision": row["revision"], **line} for line in lines]
    for table, rows in wanted.items():
        query = select(table).where(table.c.revision.in_(numbers))
        there = [row._asdict() for row in connection.execute(query)]
        for number in _differing_lines(there, rows):
            yield Fault(f"{table.name}.{number}", "check_lines")


def _differing_lines(there: list[Row], wanted: list[Row]) -> list[int]:
    def by_place(rows: list[Row]) -> dict[tuple[int, int], Row]:
        return {(row["revision"], row.get("line", 0)): row for row in rows}

    one, other = by_place(there), by_place(wanted)
    return sorted({place[0] for place in one.keys() | other.keys() if one.get(place) != other.get(place)})


def _file_faults(connection: Connection, files: Files) -> _Steps:
    for sha256 in connection.execute(select(file.c.sha256).order_by(file.c.sha256)).scalars().all():
        try:
            for _ in files.chunks(sha256):
                pass
        except KbError:
            yield 1, [Fault(f"files.{sha256}", "check_file")]
        else:
            yield 1, []


def _orphans(connection: Connection) -> Iterator[Fault]:
    in_staging = select(staged.c.revision)
    published = select(change.c.revision)
    lost = select(revision.c.id).where(revision.c.id.not_in(published), revision.c.id.not_in(in_staging))
    for number in connection.execute(lost).scalars():
        yield Fault(f"revision.{number}", "check_orphan")
    heads = select(cases.c.revision)
    for table in LINE_TABLES:
        left = (
            select(table.c.revision)
            .distinct()
            .where(table.c.revision.not_in(heads), table.c.revision.not_in(in_staging))
        )
        for number in connection.execute(left).scalars():
            yield Fault(f"{table.name}.{number}", "check_orphan")
    empty = select(batch.c.id).where(
        batch.c.first_change.is_not(None), batch.c.id.not_in(select(change.c.batch).where(change.c.batch.is_not(None)))
    )
    for batch_id in connection.execute(empty).scalars():
        yield Fault(f"batch.{batch_id}", "check_orphan")


def _private_faults(connection: Connection) -> Iterator[Fault]:
    query = select(private, cases.c.id.label("owner")).outerjoin(cases, cases.c.id == private.c.case_id)
    for row in connection.execute(query):
        if row.owner is None:
            yield Fault(f"private.{row.case_id}", "check_orphan")
        found = {name: getattr(row, name) for name in ("phone_key", "plate_key", "vin_key")}
        if found != private_keys(row.phone, row.plate, row.vin):
            yield Fault(f"private.{row.case_id}", "check_private")


def _number_faults(connection: Connection) -> Iterator[Fault]:
    query = (
        select(cases.c.number)
        .where(cases.c.origin != "outside", cases.c.removed.is_(False))
        .group_by(cases.c.number)
        .having(func.count() > 1)
    )
    for number in connection.execute(query).scalars():
        yield Fault("cases", "check_number", number)
