"""Makes the rows of the projection from a case document, and puts them in place.

The same function makes the rows when a case is saved, when the projection is checked and when it is rebuilt.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC
from typing import Any, Final

from sqlalchemy import Connection, Table, delete, insert

from kbapp.records.case import Case, FollowUp, Odometer
from kbapp.records.moment import parse_moment
from kbapp.records.timeline import PartEntry, TestEntry
from kbapp.store import tables
from kbapp.store.folding import fold

Row = dict[str, Any]
_KM_PER_MILE: Final = 1.609344  # exact by definition of the international mile
_UNSAID: Final = frozenset(
    {"format", "id", "shop", "sha256", "map", "links", "guard", "media_type", "at", "kind", "source", "status", "stage",
     "purpose", "state", "repeats", "repeat_of", "supersedes", "entry", "currency", "unit", "strength"}
)  # fmt: skip


def case_row(case: Case) -> Row:
    """Returns the columns of ``cases`` that come from the document."""
    return {**_identity(case), **_vehicle(case), **_concern_and_cause(case), **_progress(case)}


def _identity(case: Case) -> Row:
    return {
        "id": case.id,
        "number": case.number,
        "state": case.state,
        "shop_id": case.shop.id if case.shop else "",
        "map_id": case.map.id if case.map else "",
        "map_version": case.map.version if case.map else None,
        "opened": case.opened or "",
        "opened_day": _day(case.opened),
    }


def _vehicle(case: Case) -> Row:
    vehicle = case.vehicle
    names = ("make", "family", "platform", "generation", "engine")
    return {
        **{name: getattr(vehicle, name) if vehicle else "" for name in names},
        "model_year": vehicle.model_year if vehicle else None,
        "odometer_km": _km(vehicle.odometer) if vehicle else None,
        "vehicle_ref": case.vehicle_ref,
    }


def _concern_and_cause(case: Case) -> Row:
    cause = case.cause
    return {
        "system": case.concern.system,
        "concern": case.concern.text,
        "cause": cause.text if cause else "",
        "cause_section": cause.section if cause else "",
        "cause_part": cause.part if cause else "",
        "cause_position": cause.position if cause else "",
        "cause_separated": cause.separated if cause else None,
    }


def _progress(case: Case) -> Row:
    due = [follow_up for follow_up in case.follow_ups if follow_up.done is None]
    return {
        "follow_up_due": min((_day(one.due) for one in due if one.due), default=""),
        "follow_up_km": _earliest_km(due),
        "retest_result": (case.retest[-1].result or "") if case.retest else "",
        "signed_by": case.sign_off.by if case.sign_off else "",
        "signed_at": (case.sign_off.at or "") if case.sign_off else "",
    }


def _earliest_km(due: Sequence[FollowUp]) -> float | None:
    distances = [_km(one.due_odometer) for one in due]
    return min((km for km in distances if km is not None), default=None)


def _km(odometer: Odometer | None) -> float | None:
    if odometer is None:
        return None
    return odometer.value if odometer.unit == "km" else odometer.value * _KM_PER_MILE


def _day(moment: str | None) -> str:
    return parse_moment(moment).astimezone(UTC).date().isoformat() if moment else ""


def line_rows(case: Case) -> dict[Table, list[Row]]:
    """Returns the rows of the tables keyed by a revision, without the revision itself.

    Parts and tests carry their place in the timeline as ``line``, so that what came first can be read from both.
    """
    numbered = {
        tables.symptom: [{"term": term} for term in case.concern.symptoms],
        tables.code: [{"code": one.code, "status": one.status, "module": one.module} for one in case.codes],
        tables.correction: _correction(case),
        tables.link: [{"kind": one.kind, "case_id": one.case} for one in case.links],
        tables.attachment: [{"sha256": one.sha256, "name": one.name} for one in case.attachments],
    }
    rows = {table: [{"line": n, **row} for n, row in enumerate(lines)] for table, lines in numbered.items()}
    placed = list(enumerate(case.timeline))
    rows[tables.part] = [{"line": n, **_part(entry)} for n, entry in placed if isinstance(entry, PartEntry)]
    rows[tables.test] = [{"line": n, **_test(entry)} for n, entry in placed if isinstance(entry, TestEntry)]
    return {**rows, tables.words: [{"text": searchable(case)}]}


def _part(entry: PartEntry) -> Row:
    return {
        **_entry(entry),
        "part": entry.part,
        "position": entry.position,
        "section": entry.section,
        "stage": entry.stage,
        "purpose": entry.purpose,
        "effect": entry.effect or "",
        "cost": entry.cost.value if entry.cost else None,
        "currency": entry.cost.currency if entry.cost else "",
        "labour_minutes": entry.labour_minutes,
    }


def _test(entry: TestEntry) -> Row:
    return {
        **_entry(entry),
        "test": entry.test,
        "isolates": entry.isolates,
        "outcome": entry.outcome,
        "status": entry.status,
        "strength": entry.strength or "",
        "minutes": entry.minutes,
    }


def _entry(entry: PartEntry | TestEntry) -> Row:
    return {"entry": entry.id, "at": entry.at or "", "by": entry.by, "source": entry.source}


def _correction(case: Case) -> list[Row]:
    parts = case.correction.parts if case.correction else ()
    return [{"part": one.part, "position": one.position, "number": one.number} for one in parts]


def searchable(case: Case) -> str:
    """Returns all that a person wrote in a case as one folded text, for searching without an index."""
    return fold(" \u2022 ".join(_said(case.plain())))


def _said(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            if name not in _UNSAID:
                yield from _said(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _said(inner)


def insert_lines(connection: Connection, documents: Iterable[tuple[int, Case]]) -> None:
    """Writes the projection lines of some revisions, a statement a table."""
    write_lines(connection, ((number, line_rows(case)) for number, case in documents))


def write_lines(connection: Connection, lines: Iterable[tuple[int, dict[Table, list[Row]]]]) -> None:
    """Writes projection lines that were made before, a statement a table."""
    gathered: dict[Table, list[Row]] = {}
    for number, tables_of_revision in lines:
        for table, rows in tables_of_revision.items():
            gathered.setdefault(table, []).extend({"revision": number, **row} for row in rows)
    for table, rows in gathered.items():
        if rows:
            connection.execute(insert(table), rows)


def delete_lines(connection: Connection, number: int) -> None:
    """Removes the projection lines of a revision that is no longer a head."""
    for table in tables.LINE_TABLES:
        connection.execute(delete(table).where(table.c.revision == number))
