"""The first format of a book."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def text(*names: str) -> list[sa.Column[Any]]:
    return [sa.Column(name, sa.Text, nullable=False) for name in names]


def head_columns() -> list[sa.Column[Any]]:
    return [
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("removed", sa.Boolean, nullable=False),
        *text("number", "state"), sa.Column("system", sa.Text),
        *text("make", "family", "platform", "generation"), sa.Column("model_year", sa.Integer),
        *text("engine"), sa.Column("odometer_km", sa.Double), *text("vehicle_ref", "shop_id"),
        *text("concern", "cause", "cause_section", "cause_part", "cause_position"),
        sa.Column("cause_separated", sa.Boolean), *text("map_id"), sa.Column("map_version", sa.Integer),
        *text("opened", "opened_day", "follow_up_due"), sa.Column("follow_up_km", sa.Double),
        *text("retest_result", "signed_by", "signed_at", "saved_at", "author", "origin"),
        sa.Column("signed_here", sa.Boolean, nullable=False),
    ]  # fmt: skip


def table(name: str, *parts: Any, key: tuple[str, ...], indexes: tuple[str, ...] = (), **options: Any) -> None:
    op.create_table(name, *parts, sa.PrimaryKeyConstraint(*key, name=f"pk_{name}"), **options)
    for columns in indexes:
        op.create_index(f"ix_{name}_{columns.replace(',', '_')}", name, columns.split(","))


def refers(name: str, column: str, other: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{other}.id"], name=f"fk_{name}_{column}")


def numbered(name: str) -> sa.Column[Any]:
    return sa.Column(name, sa.Integer, nullable=False, autoincrement=False)


def lines(name: str, *columns: sa.Column[Any], index: str = "") -> None:
    key = (numbered("revision"), numbered("line"))
    indexes = (index,) if index else ()
    table(name, *key, *columns, refers(name, "revision", "revision"), key=("revision", "line"), indexes=indexes)


def upgrade() -> None:
    book()
    heads()
    projection()
    private_and_files()


def book() -> None:
    table("meta", *text("key", "value"), key=("key",))
    table("counter", numbered("id"), sa.Column("change", sa.Integer, nullable=False), key=("id",))
    table("numbering", numbered("year"), sa.Column("last", sa.Integer, nullable=False), key=("year",))
    table(
        "revision",
        sa.Column("id", sa.Integer, autoincrement=True, nullable=False),
        *text("case_id", "document", "digest", "author", "saved_at", "reason"),
        sa.Column("based_on", sa.Integer),
        key=("id",), indexes=("case_id",), sqlite_autoincrement=True,
    )  # fmt: skip
    table(
        "batch",
        *text("id", "title", "origin", "author", "at"),
        sa.Column("first_change", sa.Integer), sa.Column("last_change", sa.Integer), sa.Column("undone_at", sa.Text),
        key=("id",),
    )  # fmt: skip
    table(
        "change",
        numbered("number"), *text("case_id", "kind"), sa.Column("revision", sa.Integer, nullable=False),
        *text("at", "author", "origin"), sa.Column("signed_here", sa.Boolean, nullable=False),
        sa.Column("batch", sa.Text),
        refers("change", "revision", "revision"), refers("change", "batch", "batch"),
        key=("number",), indexes=("case_id", "batch", "revision"),
    )  # fmt: skip


def heads() -> None:
    table(
        "cases",
        *text("id"), sa.Column("change", sa.Integer, nullable=False), *head_columns(),
        sa.UniqueConstraint("change", name="uq_cases_change"), refers("cases", "revision", "revision"),
        key=("id",), indexes=("number", "state", "vehicle_ref", "revision"),
    )  # fmt: skip
    table(
        "staged",
        *text("batch"), sa.Column("ordinal", sa.Integer, nullable=False), *text("id"),
        sa.Column("replaces", sa.Integer), *head_columns(),
        sa.UniqueConstraint("batch", "id", name="uq_staged_batch_id"),
        refers("staged", "batch", "batch"), refers("staged", "revision", "revision"),
        key=("batch", "ordinal"), indexes=("revision",),
    )  # fmt: skip


def projection() -> None:
    lines("symptom", *text("term"), index="term")
    lines("code", *text("code", "status", "module"), index="code")
    lines(
        "part",
        *text("entry", "part", "position", "section", "stage", "purpose", "effect"), sa.Column("cost", sa.Double),
        *text("currency"), sa.Column("labour_minutes", sa.Double), *text("at", "by", "source"),
        index="part",
    )  # fmt: skip
    lines(
        "test",
        *text("entry", "test", "isolates", "outcome", "status", "strength"), sa.Column("minutes", sa.Double),
        *text("at", "by", "source"),
        index="test",
    )  # fmt: skip
    lines("correction", *text("part", "position", "number"))
    lines("link", *text("kind", "case_id"), index="case_id")
    lines("attachment", *text("sha256", "name"), index="sha256")
    table("words", numbered("revision"), *text("text"), refers("words", "revision", "revision"), key=("revision",))


def private_and_files() -> None:
    details = ("customer", "phone", "plate", "vin", "order_number", "address", "email")
    keys = ("phone_key", "plate_key", "vin_key")
    table("private", *text("case_id", *details, *keys), key=("case_id",), indexes=keys)
    table(
        "staged_private",
        *text("batch", "case_id", *details, *keys), refers("staged_private", "batch", "batch"),
        key=("batch", "case_id"),
    )  # fmt: skip
    table("file", *text("sha256"), sa.Column("size", sa.BigInteger, nullable=False), *text("added_at"), key=("sha256",))
    table(
        "file_chunk",
        *text("sha256"), numbered("chunk"), sa.Column("data", sa.LargeBinary, nullable=False),
        key=("sha256", "chunk"),
    )  # fmt: skip
    table(
        "shelf",
        sa.Column("id", sa.Integer, autoincrement=True, nullable=False),
        *text("kind", "key", "document", "author", "saved_at"),
        key=("id",), indexes=("kind,key",), sqlite_autoincrement=True,
    )  # fmt: skip
