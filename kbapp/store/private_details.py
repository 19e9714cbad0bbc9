"""Keeps private details apart from the revisions: set, found again by plate, VIN or phone, and erased.

An erasure is a line of the change feed (kind ``erased``), which nobody can alter; it says who and when, never what.
Backups made before keep the details until they are rotated out.
"""

from typing import Any, Final

from sqlalchemy import Connection, delete, insert, select, update

from kbapp.errors import InputError
from kbapp.records.private import PrivateDetails
from kbapp.store.folding import like_escaped, phone_key, plate_key
from kbapp.store.heads import IN_VIEW, find_head
from kbapp.store.saving import Stamp, write_change
from kbapp.store.tables import cases, private
from kbapp.store.values import ChangeKind, PrivateMatch

ERASED_NOTE: Final = "private_erased_note"
"""The code of the sentence to show after an erasure: backups keep the details until they are rotated out."""
_FIELDS: Final = tuple(PrivateDetails.model_fields)
_SHORTEST: Final = {"plate": 3, "vin": 6, "phone": 6}


def private_row(case_id: str, details: PrivateDetails) -> dict[str, Any]:
    """Returns the row of a case's private details with the keys they are found by."""
    return {
        "case_id": case_id,
        **{name: getattr(details, name) for name in _FIELDS},
        **private_keys(details.phone, details.plate, details.vin),
    }


def private_keys(phone: str, plate: str, vin: str) -> dict[str, str]:
    """Returns the keys that private details are found by."""
    return {"phone_key": phone_key(phone), "plate_key": plate_key(plate), "vin_key": plate_key(vin)}


def get_private(connection: Connection, case_id: str) -> PrivateDetails:
    """Returns the private details of a case; all fields are empty where nothing is kept."""
    row = connection.execute(select(private).where(private.c.case_id == case_id)).first()
    return PrivateDetails(**{name: getattr(row, name) for name in _FIELDS}) if row else PrivateDetails()


def set_private(connection: Connection, case_id: str, details: PrivateDetails, stamp: Stamp) -> int:
    """Keeps the private details of a case in place of any before, and returns the change."""
    connection.execute(delete(private).where(private.c.case_id == case_id))
    if not details.empty:
        connection.execute(insert(private).values(private_row(case_id, details)))
    return touch(connection, case_id, "private", stamp)


def erase_private(connection: Connection, case_id: str, stamp: Stamp) -> int:
    """Erases the private details of a case, logs that, and returns the change."""
    connection.execute(delete(private).where(private.c.case_id == case_id))
    return touch(connection, case_id, "erased", stamp)


def touch(
    connection: Connection, case_id: str, kind: ChangeKind, stamp: Stamp, *, signed_here: bool | None = None
) -> int:
    """Writes a change of a case that makes no new revision, and returns its number.

    Raises:
        InputError: ``case_unknown``, the book has no such case in view.
    """
    found = find_head(connection, case_id)
    if found is None or found[1]:
        raise InputError("case_unknown", reference=case_id)
    head = found[0]
    signed = head.signed_here if signed_here is None else signed_here
    number = write_change(connection, kind, case_id, head.revision, stamp, origin=head.origin, signed_here=signed)
    connection.execute(update(cases).where(cases.c.id == case_id).values(change=number, signed_here=signed))
    return number


def find_private(connection: Connection, wanted: str, limit: int = 50) -> tuple[PrivateMatch, ...]:
    """Returns the cases whose plate, VIN (or its last six or more characters) or phone is ``wanted``, latest first."""
    letters, digits = plate_key(wanted), phone_key(wanted)
    matches: dict[str, PrivateMatch] = {}
    if len(letters) >= _SHORTEST["plate"]:
        _add(connection, matches, "plate", private.c.plate_key == letters, limit)
    if len(letters) >= _SHORTEST["vin"]:
        _add(connection, matches, "vin", private.c.vin_key.like("%" + like_escaped(letters), escape="\\"), limit)
    if len(digits) >= _SHORTEST["phone"]:
        _add(connection, matches, "phone", private.c.phone_key == digits, limit)
    return tuple(matches.values())[:limit]


def _add(connection: Connection, matches: dict[str, PrivateMatch], by: Any, condition: Any, limit: int) -> None:
    query = (
        select(cases.c.id, cases.c.vehicle_ref, cases.c.number)
        .join(private, private.c.case_id == cases.c.id)
        .where(condition, IN_VIEW)
        .order_by(cases.c.change.desc())
        .limit(limit)
    )
    for row in connection.execute(query):
        matches.setdefault(row.id, PrivateMatch(row.id, by, row.vehicle_ref, row.number))
