"""Reads of the book that list: cases by filter, revisions, the change feed, documents for followers."""

from collections.abc import Sequence
from typing import Any, Literal, cast

from sqlalchemy import ColumnElement, Connection, Select, func, select

from kbapp.errors import InputError
from kbapp.store.folding import fold, like_escaped
from kbapp.store.heads import IN_VIEW, ROW_COLUMNS, case_row, parse_document, resolve, stored_case, stored_query
from kbapp.store.tables import cases, change, link, revision, symptom, words
from kbapp.store.values import CaseFilter as CaseFilter
from kbapp.store.values import (
    CaseRow,
    Change,
    ChangedDocument,
    ChangeKind,
    Origin,
    Revision,
    StoredCase,
)  # fmt: skip

_IN_ONE_QUERY = 500


VehicleField = Literal["make", "family", "generation", "engine"]


def _conditions(wanted: CaseFilter) -> list[ColumnElement[bool]]:
    out: list[ColumnElement[bool]] = [IN_VIEW]
    for column, values in (
        (cases.c.state, wanted.states),
        (cases.c.system, wanted.systems),
        (cases.c.origin, wanted.origins),
    ):
        if values:
            out.append(column.in_(values))
    for name in ("make", "family", "generation", "engine", "vehicle_ref", "map_id"):
        value = getattr(wanted, name)
        if value:
            out.append(cases.c[name] == value)
    if wanted.signed_here is not None:
        out.append(cases.c.signed_here.is_(wanted.signed_here))
    if wanted.symptom:
        out.append(cases.c.revision.in_(select(symptom.c.revision).where(symptom.c.term == wanted.symptom)))
    return out + _days(wanted) + _progress(wanted)


def _progress(wanted: CaseFilter) -> list[ColumnElement[bool]]:
    out: list[ColumnElement[bool]] = []
    if wanted.retest_passed is not None:
        passed = cases.c.retest_result == "passed"
        out.append(passed if wanted.retest_passed else ~passed)
    if wanted.linked_on is not None:
        linked = cases.c.revision.in_(select(link.c.revision).where(link.c.kind == "came_back_as"))
        out.append(linked if wanted.linked_on else ~linked)
    return out


def _days(wanted: CaseFilter) -> list[ColumnElement[bool]]:
    out: list[ColumnElement[bool]] = []
    if wanted.opened_from:
        out.append(cases.c.opened_day >= wanted.opened_from)
    if wanted.opened_to:
        out += [cases.c.opened_day <= wanted.opened_to, cases.c.opened_day != ""]
    if wanted.follow_up_due_by:
        out += [cases.c.follow_up_due <= wanted.follow_up_due_by, cases.c.follow_up_due != ""]
    return out


def list_cases(connection: Connection, wanted: CaseFilter, limit: int, offset: int) -> tuple[CaseRow, ...]:
    """Returns cases in view, the latest changed first."""
    query = select(*ROW_COLUMNS).where(*_conditions(wanted)).order_by(cases.c.change.desc()).limit(limit).offset(offset)
    return tuple(case_row(row) for row in connection.execute(query))


def count_cases(connection: Connection, wanted: CaseFilter) -> int:
    """Returns how many cases are in view."""
    return int(connection.execute(select(func.count()).select_from(cases).where(*_conditions(wanted))).scalar_one())


def distinct_values(connection: Connection, field: VehicleField) -> tuple[str, ...]:
    """Returns the values a field of the vehicle has in the cases in view, in order."""
    column = cases.c[field]
    query = select(column).where(IN_VIEW, column != "").distinct().order_by(column)
    return tuple(connection.execute(query).scalars())


def read_case(connection: Connection, reference: str) -> StoredCase:
    """Returns the case an id, a number or the beginning of an id means."""
    return read_cases(connection, [resolve(connection, reference)])[0]


def read_cases(connection: Connection, ids: Sequence[str]) -> tuple[StoredCase, ...]:
    """Returns the cases in view with these ids, in this order; ids that are not in view are left out."""
    found = dict[str, StoredCase]()
    for start in range(0, len(ids), _IN_ONE_QUERY):
        query = stored_query().where(cases.c.id.in_(ids[start : start + _IN_ONE_QUERY]), IN_VIEW)
        found |= {row.id: stored_case(row) for row in connection.execute(query)}
    return tuple(found[case_id] for case_id in ids if case_id in found)


def read_rows(connection: Connection, ids: Sequence[str]) -> tuple[CaseRow, ...]:
    """Returns the light rows of the cases in view with these ids, in this order."""
    found = dict[str, CaseRow]()
    for start in range(0, len(ids), _IN_ONE_QUERY):
        query = select(*ROW_COLUMNS).where(cases.c.id.in_(ids[start : start + _IN_ONE_QUERY]), IN_VIEW)
        found |= {row.id: case_row(row) for row in connection.execute(query)}
    return tuple(found[case_id] for case_id in ids if case_id in found)


def list_revisions(connection: Connection, case_id: str) -> tuple[Revision, ...]:
    """Returns every published version of a case, the latest first."""
    published = select(change.c.revision).where(change.c.case_id == case_id)
    columns = (
        revision.c.id, revision.c.case_id, revision.c.saved_at, revision.c.author, revision.c.reason, revision.c.digest,
        revision.c.based_on,
    )  # fmt: skip
    query = select(*columns).where(revision.c.id.in_(published)).order_by(revision.c.id.desc())
    return tuple(Revision(*row) for row in connection.execute(query))


def read_revision(connection: Connection, case_id: str, number: int) -> StoredCase:
    """Returns a version of a case as it stood; ``change`` is the one that brought it.

    Raises:
        InputError: ``revision_unknown``.
    """
    query = (
        select(
            revision.c.document,
            revision.c.saved_at,
            revision.c.author,
            change.c.number,
            change.c.origin,
            change.c.signed_here,
        )
        .join(change, change.c.revision == revision.c.id)
        .where(revision.c.id == number, revision.c.case_id == case_id)
        .order_by(change.c.number)
        .limit(1)
    )
    row = connection.execute(query).first()
    if row is None:
        raise InputError("revision_unknown", revision=number)
    case = parse_document(row.document, number)
    return StoredCase(case, number, row.number, row.saved_at, row.author, cast("Origin", row.origin), row.signed_here)


def changes_since(connection: Connection, number: int, limit: int) -> tuple[Change, ...]:
    """Returns the changes after ``number`` in their order."""
    columns = (
        change.c.number, change.c.case_id, change.c.kind, change.c.revision, change.c.at, change.c.author,
        change.c.batch,
    )  # fmt: skip
    query = select(*columns).where(change.c.number > number).order_by(change.c.number).limit(limit)
    return tuple(
        Change(row.number, row.case_id, cast("ChangeKind", row.kind), row.revision, row.at, row.author, row.batch)
        for row in connection.execute(query)
    )


def documents_changed_since(connection: Connection, number: int, limit: int) -> tuple[ChangedDocument, ...]:
    """Returns the cases touched after ``number`` as they are now, each once, by the latest change that touched it.

    Following the feed by the last ``change`` returned never misses a case: whatever is touched again moves to the end.
    """
    query = stored_query().where(cases.c.change > number).order_by(cases.c.change).limit(limit)
    return tuple(
        ChangedDocument(
            row.change,
            row.id,
            None if row.removed else parse_document(row.document, row.revision),
            row.signed_here,
            cast("Origin", row.origin),
        )
        for row in connection.execute(query)
    )


def text_search(connection: Connection, wanted: str, limit: int) -> tuple[CaseRow, ...]:
    """Returns the cases that hold every word (as part of a word, letter case and accents ignored), latest first."""
    found: list[ColumnElement[bool]] = [
        words.c.text.like(f"%{like_escaped(word)}%", escape="\\") for word in fold(wanted).split()
    ]
    if not found:
        return ()
    query: Select[Any] = (
        select(*ROW_COLUMNS)
        .join(words, words.c.revision == cases.c.revision)
        .where(IN_VIEW, *found)
        .order_by(cases.c.change.desc())
        .limit(limit)
    )
    return tuple(case_row(row) for row in connection.execute(query))
