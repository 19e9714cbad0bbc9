"""What a book says of itself: its ids, shop, name and format, and how a new one comes to be."""

import re
from typing import Final
from uuid import uuid4

from sqlalchemy import (
    Column,
    Connection,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    insert,
    inspect,
    select,
    update,
)

from kbapp.errors import DamageError, InputError
from kbapp.records.case import Shop
from kbapp.store.heads import utc_now
from kbapp.store.tables import counter, meta, metadata
from kbapp.store.values import BookInfo

FORMAT: Final = "0002"
"""The book format this program writes: the name of the newest migration."""
_VERSION: Final = re.compile("[0-9]{4}")
# The migration tool's own table (one column, one row), stamped here without importing that tool.
version_table: Final = Table(
    "alembic_version", MetaData(),
    Column("version_num", String(32), nullable=False),
    PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)  # fmt: skip


def write_new(connection: Connection, shop: Shop, *, practice: bool, name: str) -> None:
    """Makes the tables of a new book and says whose it is."""
    make_tables(connection)
    connection.execute(insert(counter).values(id=1, change=0))
    said = {
        "book_id": str(uuid4()), "incarnation": str(uuid4()), "name": name, "shop_id": shop.id, "shop_name": shop.name,
        "practice": "yes" if practice else "no", "created_at": utc_now(),
    }  # fmt: skip
    connection.execute(insert(meta), [{"key": key, "value": value} for key, value in said.items()])


def make_tables(connection: Connection) -> None:
    """Makes the tables of the present format, empty, without the migration tool."""
    metadata.create_all(connection)
    version_table.create(connection)
    connection.execute(insert(version_table).values(version_num=FORMAT))


def read_format(connection: Connection, where: str) -> str:
    """Returns the format of the book in a database.

    Raises:
        InputError: ``not_a_book``, the database holds none.
    """
    if not {"alembic_version", "meta", "counter", "revision"} <= set(inspect(connection).get_table_names()):
        raise InputError("not_a_book", where=where)
    versions = connection.execute(select(version_table.c.version_num)).scalars().all()
    if len(versions) != 1 or not _VERSION.fullmatch(versions[0]):
        raise InputError("not_a_book", where=where)
    return str(versions[0])


def read_info(connection: Connection, where: str) -> BookInfo:
    """Returns what the book says of itself.

    Raises:
        DamageError: ``book_damaged``, something of it is missing.
    """
    said = {row.key: row.value for row in connection.execute(select(meta))}
    try:
        return BookInfo(
            book_id=said["book_id"],
            incarnation=said["incarnation"],
            name=said["name"],
            shop=Shop(id=said["shop_id"], name=said["shop_name"]),
            practice=said["practice"] == "yes",
            location=where,
            format=FORMAT,
            created_at=said["created_at"],
        )
    except (KeyError, ValueError) as error:
        raise DamageError("book_damaged", where=where, detail=str(error).splitlines()[0]) from None


def write_meta(connection: Connection, key: str, value: str) -> None:
    """Changes one thing the book says of itself."""
    connection.execute(update(meta).where(meta.c.key == key).values(value=value))
