"""The log of signatures, which only grows."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

STAYS = {
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


def upgrade() -> None:
    texts = {name: sa.Column(name, sa.Text, nullable=False) for name in (
        "case_id", "digest", "result", "by", "role", "note", "at", "author",
    )}  # fmt: skip
    op.create_table(
        "sign_off",
        sa.Column("id", sa.Integer, autoincrement=True, nullable=False),
        texts["case_id"], sa.Column("revision", sa.Integer, nullable=False),
        texts["digest"], texts["result"], texts["by"], texts["role"],
        sa.Column("own_work", sa.Boolean, nullable=False),
        texts["note"], texts["at"], texts["author"],
        sa.ForeignKeyConstraint(["revision"], ["revision.id"], name="fk_sign_off_revision"),
        sa.PrimaryKeyConstraint("id", name="pk_sign_off"),
        sqlite_autoincrement=True,
    )  # fmt: skip
    op.create_index("ix_sign_off_case_id", "sign_off", ["case_id"])
    for statement in STAYS[op.get_bind().dialect.name]:
        op.execute(sa.DDL(statement))
