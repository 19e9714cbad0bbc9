"""Reads the head of a case: its row, its document and where it comes from."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any, Final, cast

from pydantic import ValidationError
from sqlalchemy import ColumnElement, Connection, Row, Select, select

from kbapp.errors import DamageError, InputError
from kbapp.records.case import Case
from kbapp.store.folding import like_escaped
from kbapp.store.tables import cases, revision
from kbapp.store.values import CaseRow, Origin, StoredCase

SHORTEST_PREFIX: Final = 8
_HEX: Final = frozenset("0123456789abcdef-")
STORED: Final = (
    cases.c.id, cases.c.removed, cases.c.revision, cases.c.change, cases.c.saved_at, cases.c.author, cases.c.origin,
    cases.c.signed_here, revision.c.document,
)  # fmt: skip
IN_VIEW: Final[ColumnElement[bool]] = cases.c.removed.is_(False)


def utc_now() -> str:
    """Returns the present instant in UTC to the millisecond (``2026-06-04T12:00:00.000Z``)."""
    return utc_ago(0)


def utc_ago(hours: float) -> str:
    """Returns the instant so many hours ago, in the same form: such texts sort by time."""
    return (datetime.now(UTC) - timedelta(hours=hours)).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def parse_document(document: str, number: int) -> Case:
    """Returns the case in a stored document.

    Raises:
        DamageError: ``document_damaged``, the text of this revision is no case.
    """
    try:
        return Case.model_validate_json(document)
    except ValidationError:
        raise DamageError("document_damaged", revision=number) from None


def stored_query() -> Select[Any]:
    """Returns the query of heads with their documents, removed ones included."""
    return select(*STORED).join(revision, revision.c.id == cases.c.revision)


def stored_case(row: Row[Any]) -> StoredCase:
    """Returns the stored case a row of ``stored_query`` holds."""
    return StoredCase(
        case=parse_document(row.document, row.revision),
        revision=row.revision,
        change=row.change,
        saved_at=row.saved_at,
        author=row.author,
        origin=cast("Origin", row.origin),
        signed_here=row.signed_here,
    )


def find_head(connection: Connection, case_id: str) -> tuple[StoredCase, bool] | None:
    """Returns the head of a case and whether it is removed from view, or None where the book never had it."""
    row = connection.execute(stored_query().where(cases.c.id == case_id)).first()
    return (stored_case(row), row.removed) if row else None


def resolve(connection: Connection, reference: str) -> str:
    """Returns the id of the case a person means by an id, a case number or the first eight or more letters of an id.

    Where several shops used one number, the case of this shop is meant.

    Raises:
        InputError: ``case_unknown``, ``case_removed``, or ``case_ambiguous`` with ``matches``.
    """
    wanted = reference.strip()
    for condition in _readings(wanted):
        rows = connection.execute(
            select(cases.c.id, cases.c.number, cases.c.origin, cases.c.removed).where(condition)
        ).all()
        if rows:
            return _the_one(wanted, rows)
    raise InputError("case_unknown", reference=wanted)


def _readings(wanted: str) -> list[ColumnElement[bool]]:
    low = wanted.lower()
    prefix = len(low) >= SHORTEST_PREFIX and set(low) <= _HEX
    out = [cases.c.id == low, cases.c.number == wanted] if wanted else []
    return [*out, cases.c.id.like(like_escaped(low) + "%", escape="\\")] if prefix else out


def _the_one(wanted: str, rows: Sequence[Row[str, str, str, bool]]) -> str:
    seen = [row for row in rows if not row.removed]
    if not seen:
        raise InputError("case_removed", reference=wanted)
    own = [row for row in seen if row.origin != "outside"]
    candidates = own or seen
    if len(candidates) > 1:
        raise InputError(
            "case_ambiguous", reference=wanted, matches=", ".join(sorted(row.id for row in candidates)[:5])
        )
    return str(candidates[0].id)


ROW_COLUMNS: Final = tuple(cases.c[name] for name in CaseRow.__dataclass_fields__)


def case_row(row: Row[Any]) -> CaseRow:
    """Returns the light row a selection of ``ROW_COLUMNS`` holds."""
    return CaseRow(**row._mapping)  # noqa: SLF001 - SQLAlchemy's documented name
