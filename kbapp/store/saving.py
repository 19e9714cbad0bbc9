"""Saves one case: a new one, the next revision, or what a merge with the present head comes to."""

import hashlib
from dataclasses import dataclass

from sqlalchemy import Connection, insert, select, update

from kbapp.errors import InputError
from kbapp.records.case import Case
from kbapp.records.case_document import canonical, consistency_faults
from kbapp.records.fault import DocumentFaults
from kbapp.records.merge import merge
from kbapp.store.change_counter import take_changes, take_numbers
from kbapp.store.heads import find_head, parse_document
from kbapp.store.projection import case_row, delete_lines, insert_lines
from kbapp.store.tables import cases, change, revision
from kbapp.store.values import Origin, Saved, StaleSave, StoredCase


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who writes, when (UTC), why, and where a case that is new comes from."""

    author: str
    at: str
    reason: str = ""
    origin: Origin = "own"


def save(connection: Connection, case: Case, based_on: int | None, stamp: Stamp) -> Saved:
    """Saves a case in a writing transaction.

    Raises:
        DocumentFaults: the case contradicts itself.
        StaleSave: someone else changed the same fields since ``based_on``.
        InputError: ``case_exists``, ``case_unknown``, ``revision_unknown`` or ``number_taken``.
    """
    faults = consistency_faults(case)
    if faults:
        raise DocumentFaults(faults, source=case.number or case.id)
    found = find_head(connection, case.id)
    if found is None:
        if based_on is not None:
            raise InputError("case_unknown", reference=case.number or case.id)
        return _save_new(connection, case, stamp)
    head, removed = found
    if not case.number:
        case = case.model_copy(update={"number": head.case.number})
    if case == head.case and not removed:
        return Saved(head.revision, head.change, head.case)
    if removed and based_on is None:
        return _put(connection, case, head, stamp)
    if based_on is None:
        raise InputError("case_exists", reference=head.case.number or case.id)
    return _save_on(connection, case, based_on, head, stamp)


def _save_new(connection: Connection, case: Case, stamp: Stamp) -> Saved:
    if not case.number:
        case = case.model_copy(update={"number": take_numbers(connection, [case])[0]})
    return _put(connection, case, None, stamp)


def _save_on(connection: Connection, mine: Case, based_on: int, head: StoredCase, stamp: Stamp) -> Saved:
    if based_on == head.revision:
        return _put(connection, mine, head, stamp)
    base = _base(connection, mine.id, based_on)
    merged = _merged(base, mine, head)
    if merged == head.case:
        return Saved(head.revision, head.change, head.case, merged=True)
    return _put(connection, merged, head, stamp, merged=True)


def _base(connection: Connection, case_id: str, number: int) -> Case:
    query = select(revision.c.document).where(revision.c.id == number, revision.c.case_id == case_id)
    document = connection.execute(query).scalar()
    if document is None:
        raise InputError("revision_unknown", revision=number)
    return parse_document(document, number)


def _merged(base: Case, mine: Case, head: StoredCase) -> Case:
    result = merge(base, mine, head.case)
    if result.case is None:
        raise StaleSave(base, mine, head.case, head.revision, result.conflicts)
    return result.case


def _put(connection: Connection, case: Case, head: StoredCase | None, stamp: Stamp, *, merged: bool = False) -> Saved:
    origin = head.origin if head else stamp.origin
    _refuse_taken_number(connection, case, head, origin)
    based_on = head.revision if head else None
    number = insert_revision(connection, case, based_on, stamp)
    signed = is_signed_here(case, origin, head)
    change_number = write_change(connection, "saved", case.id, number, stamp, origin=origin, signed_here=signed)
    row = {
        **case_row(case), "revision": number, "change": change_number, "removed": False, "saved_at": stamp.at,
        "author": stamp.author, "origin": origin, "signed_here": signed,
    }  # fmt: skip
    if head is None:
        connection.execute(insert(cases).values(row))
    else:
        connection.execute(update(cases).where(cases.c.id == case.id).values(row))
        delete_lines(connection, head.revision)
    insert_lines(connection, [(number, case)])
    return Saved(number, change_number, case, merged=merged)


def _refuse_taken_number(connection: Connection, case: Case, head: StoredCase | None, origin: Origin) -> None:
    if origin == "outside" or not case.number or (head is not None and head.case.number == case.number):
        return
    other = select(cases.c.id).where(cases.c.number == case.number, cases.c.id != case.id, cases.c.origin != "outside")
    if connection.execute(other).first():
        raise InputError("number_taken", number=case.number)


def insert_revision(connection: Connection, case: Case, based_on: int | None, stamp: Stamp) -> int:
    """Writes the document as a new revision and returns its number."""
    row = {**revision_row(case, stamp), "based_on": based_on}
    return int(connection.execute(insert(revision).values(row).returning(revision.c.id)).scalar_one())


def revision_row(case: Case, stamp: Stamp) -> dict[str, object]:
    """Returns the columns of a revision of this case (its digest is ``case_document.digest``)."""
    document = canonical(case)
    return {
        "case_id": case.id, "document": document.decode(), "digest": hashlib.sha256(document).hexdigest(),
        "author": stamp.author, "saved_at": stamp.at, "reason": stamp.reason,
    }  # fmt: skip


def write_change(
    connection: Connection, kind: str, case_id: str, number: int, stamp: Stamp, *, origin: Origin, signed_here: bool
) -> int:
    """Writes the next line of the change feed and returns its number."""
    change_number = take_changes(connection)
    row = {
        "number": change_number, "case_id": case_id, "kind": kind, "revision": number, "at": stamp.at,
        "author": stamp.author, "origin": origin, "signed_here": signed_here, "batch": None,
    }  # fmt: skip
    connection.execute(insert(change).values(row))
    return change_number


def is_signed_here(case: Case, origin: Origin, head: StoredCase | None) -> bool:
    """Returns whether a proved case counts as signed in this shop.

    A case from outside is signed elsewhere until the lead accepts it, or signs it here anew.
    """
    if case.state != "proved":
        return False
    if origin != "outside":
        return True
    if head is None:
        return False
    return head.signed_here or head.case.state != "proved" or head.case.sign_off != case.sign_off
