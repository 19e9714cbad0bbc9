"""The log of signatures: every signature is a new line beside the revision it stands for, and no line is ever altered.

It says who signed at a shared PC. On an embedded book that is attribution, not security; on a server the rights of the
database can keep the log to the leads (``schema/postgresql/lead_role.sql``).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, cast

from sqlalchemy import Connection, func, insert, select
from sqlalchemy.exc import DBAPIError

from kbapp.errors import EnvironmentFault, InputError
from kbapp.records.case import Case
from kbapp.records.fault import Fault
from kbapp.store.heads import find_head
from kbapp.store.saving import Stamp, save
from kbapp.store.tables import revision, sign_off
from kbapp.store.values import Saved

SignResult = Literal["proved", "not_proved", "sent_back", "accepted"]
_NO_RIGHT: Final = "42501"
"""The SQLSTATE of a login without the right (PostgreSQL manual, appendix A) [M]."""
_IN_ONE_QUERY: Final = 500


@dataclass(frozen=True, slots=True)
class Signature:
    """Who signs how. ``own_work`` says that the signer worked on the case; ``accepted`` takes over another shop's."""

    by: str
    role: str
    result: SignResult
    own_work: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class SignedLine:
    """One line of the log; ``author`` is who was at the keyboard, ``at`` is in UTC."""

    number: int
    case_id: str
    revision: int
    digest: str
    result: SignResult
    by: str
    role: str
    own_work: bool
    note: str
    at: str
    author: str


_COLUMNS: Final = (
    sign_off.c.id, sign_off.c.case_id, sign_off.c.revision, sign_off.c.digest, sign_off.c.result, sign_off.c.by,
    sign_off.c.role, sign_off.c.own_work, sign_off.c.note, sign_off.c.at, sign_off.c.author,
)  # fmt: skip


def sign(connection: Connection, case: Case, based_on: int, signature: Signature, stamp: Stamp) -> Saved:
    """Saves a case as it is signed and writes the line of the log, together or not at all.

    Nothing is merged: what others saved since ``based_on`` the signer has not seen.

    Raises:
        InputError: ``case_unknown``, or ``sign_moved_on``: the case is no longer at ``based_on``.
        EnvironmentFault: ``sign_needs_lead_login``, the login of the server may not sign.
    """
    found = find_head(connection, case.id)
    if found is None or found[1]:
        raise InputError("case_unknown", reference=case.number or case.id)
    if found[0].revision != based_on:
        raise InputError("sign_moved_on", number=found[0].case.number, author=found[0].author)
    saved = save(connection, case, based_on, stamp)
    log(connection, case.id, saved.revision, signature, stamp)
    return saved


def log(connection: Connection, case_id: str, number: int, signature: Signature, stamp: Stamp) -> None:
    """Writes a line of the log about a revision that stands already.

    Raises:
        EnvironmentFault: ``sign_needs_lead_login``.
    """
    digest = connection.execute(select(revision.c.digest).where(revision.c.id == number)).scalar_one()
    row = {
        "case_id": case_id, "revision": number, "digest": digest, "result": signature.result, "by": signature.by,
        "role": signature.role, "own_work": signature.own_work, "note": signature.note, "at": stamp.at,
        "author": stamp.author,
    }  # fmt: skip
    try:
        connection.execute(insert(sign_off).values(row))
    except DBAPIError as error:
        if getattr(error.orig, "sqlstate", None) == _NO_RIGHT:
            raise EnvironmentFault("sign_needs_lead_login") from error
        raise


def lines_of(connection: Connection, case_id: str) -> tuple[SignedLine, ...]:
    """Returns the lines of the log about a case, the latest first."""
    query = select(*_COLUMNS).where(sign_off.c.case_id == case_id).order_by(sign_off.c.id.desc())
    return tuple(_line(*row) for row in connection.execute(query))


def last_lines(connection: Connection, ids: Sequence[str]) -> dict[str, SignedLine]:
    """Returns the latest line of the log about each of these cases that has one."""
    out: dict[str, SignedLine] = {}
    for start in range(0, len(ids), _IN_ONE_QUERY):
        among = sign_off.c.case_id.in_(ids[start : start + _IN_ONE_QUERY])
        latest = select(func.max(sign_off.c.id)).where(among).group_by(sign_off.c.case_id)
        rows = connection.execute(select(*_COLUMNS).where(sign_off.c.id.in_(latest)))
        out |= {row.case_id: _line(*row) for row in rows}
    return out


def log_faults(connection: Connection) -> Iterator[Fault]:
    """Yields a fault for every line of the log that does not agree with the revision it stands for."""
    query = select(sign_off.c.id, sign_off.c.case_id, sign_off.c.digest, revision.c.case_id, revision.c.digest)
    joined = query.outerjoin(revision, revision.c.id == sign_off.c.revision).order_by(sign_off.c.id)
    for number, case_id, digest, owner, stands in connection.execute(joined):
        if (case_id, digest) != (owner, stands):
            yield Fault(f"sign_off.{number}", "check_sign_off", str(digest), str(stands))


def _line(
    number: int, case_id: str, at_revision: int, digest: str, result: str, by: str, role: str,
    own_work: bool, note: str, at: str, author: str,  # noqa: FBT001 - columns in their order
) -> SignedLine:  # fmt: skip
    return SignedLine(
        number, case_id, at_revision, digest, cast("SignResult", result), by, role, own_work, note, at, author
    )
