"""The tables of a book (format 0002), the same on SQLite and PostgreSQL.

``revision``, ``change`` and ``sign_off`` are never altered: they are the book. ``cases`` and the tables keyed by a
revision are a projection of them and can be rebuilt. A case is in view when ``cases`` has it and ``removed`` is false;
the lines of its head stand in the projection tables under ``cases.revision``.
"""

from typing import Any, Final

from sqlalchemy import (
    DDL,
    BigInteger,
    Boolean,
    Column,
    Double,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    Text,
    UniqueConstraint,
    event,
)  # fmt: skip

metadata: Final = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def _text(name: str) -> Column[Any]:
    return Column(name, Text, nullable=False)


meta = Table("meta", metadata, Column("key", Text, primary_key=True), _text("value"))

counter = Table(
    "counter", metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("change", Integer, nullable=False),
)  # fmt: skip

numbering = Table(
    "numbering", metadata,
    Column("year", Integer, primary_key=True, autoincrement=False),
    Column("last", Integer, nullable=False),
)  # fmt: skip

revision = Table(
    "revision", metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    _text("case_id"), _text("document"), _text("digest"), _text("author"), _text("saved_at"), _text("reason"),
    Column("based_on", Integer),
    Index(None, "case_id"),
    sqlite_autoincrement=True,
)  # fmt: skip

batch = Table(
    "batch", metadata,
    Column("id", Text, primary_key=True),
    _text("title"), _text("origin"), _text("author"), _text("at"),
    Column("first_change", Integer), Column("last_change", Integer),
    Column("undone_at", Text),
)  # fmt: skip

change = Table(
    "change", metadata,
    Column("number", Integer, primary_key=True, autoincrement=False),
    _text("case_id"), _text("kind"),
    Column("revision", Integer, ForeignKey("revision.id"), nullable=False),
    _text("at"), _text("author"), _text("origin"),
    Column("signed_here", Boolean, nullable=False),
    Column("batch", Text, ForeignKey("batch.id")),
    Index(None, "case_id"), Index(None, "batch"), Index(None, "revision"),
)  # fmt: skip


def _case_columns() -> list[Column[Any]]:
    return [
        Column("revision", Integer, ForeignKey("revision.id"), nullable=False),
        Column("removed", Boolean, nullable=False),
        _text("number"), _text("state"), Column("system", Text),
        _text("make"), _text("family"), _text("platform"), _text("generation"), Column("model_year", Integer),
        _text("engine"), Column("odometer_km", Double), _text("vehicle_ref"), _text("shop_id"),
        _text("concern"), _text("cause"), _text("cause_section"), _text("cause_part"), _text("cause_position"),
        Column("cause_separated", Boolean), _text("map_id"), Column("map_version", Integer),
        _text("opened"), _text("opened_day"), _text("follow_up_due"), Column("follow_up_km", Double),
        _text("retest_result"), _text("signed_by"), _text("signed_at"),
        _text("saved_at"), _text("author"), _text("origin"), Column("signed_here", Boolean, nullable=False),
    ]  # fmt: skip


cases = Table(
    "cases", metadata,
    Column("id", Text, primary_key=True),
    Column("change", Integer, nullable=False, unique=True),
    *_case_columns(),
    Index(None, "number"), Index(None, "state"), Index(None, "vehicle_ref"), Index(None, "revision"),
)  # fmt: skip

staged = Table(
    "staged", metadata,
    Column("batch", Text, ForeignKey("batch.id"), nullable=False),
    Column("ordinal", Integer, nullable=False),
    Column("id", Text, nullable=False),
    Column("replaces", Integer),
    *_case_columns(),
    PrimaryKeyConstraint("batch", "ordinal"),
    UniqueConstraint("batch", "id"), Index(None, "revision"),
)  # fmt: skip

staged_private = Table(
    "staged_private", metadata,
    Column("batch", Text, ForeignKey("batch.id"), nullable=False),
    Column("case_id", Text, nullable=False),
    _text("customer"), _text("phone"), _text("plate"), _text("vin"), _text("order_number"), _text("address"),
    _text("email"), _text("phone_key"), _text("plate_key"), _text("vin_key"),
    PrimaryKeyConstraint("batch", "case_id"),
)  # fmt: skip

private = Table(
    "private", metadata,
    Column("case_id", Text, primary_key=True),
    _text("customer"), _text("phone"), _text("plate"), _text("vin"), _text("order_number"), _text("address"),
    _text("email"), _text("phone_key"), _text("plate_key"), _text("vin_key"),
    Index(None, "phone_key"), Index(None, "plate_key"), Index(None, "vin_key"),
)  # fmt: skip


def _lines(name: str, *columns: Column[Any], index: str | None = None) -> Table:
    """Returns a projection table: the lines of a revision, numbered from 0 in their order (parts and tests: by their
    place in the timeline).
    """
    return Table(
        name, metadata,
        Column("revision", Integer, ForeignKey("revision.id"), nullable=False),
        Column("line", Integer, nullable=False),
        *columns,
        PrimaryKeyConstraint("revision", "line"),
        *([Index(None, index)] if index else []),
    )  # fmt: skip


symptom = _lines("symptom", _text("term"), index="term")
code = _lines("code", _text("code"), _text("status"), _text("module"), index="code")
part = _lines(
    "part",
    _text("entry"), _text("part"), _text("position"), _text("section"), _text("stage"), _text("purpose"),
    _text("effect"), Column("cost", Double), _text("currency"), Column("labour_minutes", Double), _text("at"),
    _text("by"), _text("source"),
    index="part",
)  # fmt: skip
test = _lines(
    "test",
    _text("entry"), _text("test"), _text("isolates"), _text("outcome"), _text("status"), _text("strength"),
    Column("minutes", Double), _text("at"), _text("by"), _text("source"),
    index="test",
)  # fmt: skip
correction = _lines("correction", _text("part"), _text("position"), _text("number"))
link = _lines("link", _text("kind"), _text("case_id"), index="case_id")
attachment = _lines("attachment", _text("sha256"), _text("name"), index="sha256")
words = Table(
    "words", metadata,
    Column("revision", Integer, ForeignKey("revision.id"), primary_key=True, autoincrement=False),
    _text("text"),
)  # fmt: skip

LINE_TABLES: Final = (symptom, code, part, test, correction, link, attachment, words)
"""The projection tables keyed by a revision."""

file = Table(
    "file", metadata,
    Column("sha256", Text, primary_key=True),
    Column("size", BigInteger, nullable=False),
    _text("added_at"),
)  # fmt: skip

file_chunk = Table(
    "file_chunk", metadata,
    Column("sha256", Text, nullable=False),
    Column("chunk", Integer, nullable=False),
    Column("data", LargeBinary, nullable=False),
    PrimaryKeyConstraint("sha256", "chunk"),
)  # fmt: skip

shelf = Table(
    "shelf", metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    _text("kind"), _text("key"), _text("document"), _text("author"), _text("saved_at"),
    Index(None, "kind", "key"),
    sqlite_autoincrement=True,
)  # fmt: skip

sign_off = Table(
    "sign_off", metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    _text("case_id"),
    Column("revision", Integer, ForeignKey("revision.id"), nullable=False),
    _text("digest"), _text("result"), _text("by"), _text("role"),
    Column("own_work", Boolean, nullable=False),
    _text("note"), _text("at"), _text("author"),
    Index(None, "case_id"),
    sqlite_autoincrement=True,
)  # fmt: skip
"""The log of signatures: which revision (and digest) who signed how. It only grows: the database refuses the rest."""

_STAYS: Final = {
    "sqlite": (
        (
            "CREATE TRIGGER sign_off_not_altered BEFORE UPDATE ON sign_off "
            "BEGIN SELECT RAISE(ABORT, 'the sign-off log only grows'); END"
        ),
        (
            "CREATE TRIGGER sign_off_not_removed BEFORE DELETE ON sign_off "
            "BEGIN SELECT RAISE(ABORT, 'the sign-off log only grows'); END"
        ),
    ),
    "postgresql": (
        (
            "CREATE FUNCTION sign_off_stays() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION 'the sign-off log only grows'; END $$"
        ),
        (
            "CREATE TRIGGER sign_off_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON sign_off "
            "FOR EACH STATEMENT EXECUTE FUNCTION sign_off_stays()"
        ),
    ),
}
for _dialect, _statements in _STAYS.items():
    for _statement in _statements:
        _made = DDL(_statement)  # type: ignore[no-untyped-call]
        event.listen(sign_off, "after_create", _made.execute_if(dialect=_dialect))
