"""A table as it is opened for import: its columns with what stands in them, and which field each seems to feed."""

from dataclasses import dataclass
from pathlib import Path

from kbapp.app.importing import FIELDS, read_table

SHOWN = 3


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name, the first values that stand in it, and the field it is taken for (blank: none)."""

    name: str
    values: tuple[str, ...]
    field: str


@dataclass(frozen=True, slots=True)
class Table:
    """An opened table."""

    path: Path
    columns: tuple[Column, ...]
    rows: int


def open_table(path: Path) -> Table:
    """Returns a table and what its columns seem to be.

    Raises:
        EnvironmentFault: the file cannot be read.
        InputError: ``table_not_csv`` or ``table_damaged``.
    """
    header, rows = read_table(path)
    by_name = {name: field for field, names in FIELDS.items() for name in names}
    taken: set[str] = set()
    columns = []
    for name in dict.fromkeys(filter(None, header)):
        field = by_name.get(name.casefold(), "")
        field = "" if field in taken else field
        taken.add(field)
        values = tuple(row.get(name, "") for row in rows if row.get(name, ""))[:SHOWN]
        columns.append(Column(name, tuple(" ".join(value.split())[:80] for value in values), field))
    return Table(path, tuple(columns), len(rows))
