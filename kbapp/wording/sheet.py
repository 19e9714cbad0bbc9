"""A sheet of figures: one table with its words, the same for the screen, the terminal, a file and paper."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from kbapp.i18n import _
from kbapp.isolation.intervals import Interval
from kbapp.ledger.figures import Amounts

Value = str | int | float | Interval | Amounts | None


@dataclass(frozen=True, slots=True)
class Cell:
    """What a cell says, and the value behind it: an interval is a share, a tuple sums by currency."""

    text: str
    value: Value


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name in files, its head on screen, and whether it holds figures (set to the right)."""

    key: str
    head: str
    figures: bool = False


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table: name in files, title, what it answers, remarks, columns and rows; ``empty`` is said without rows."""

    key: str
    title: str
    about: str
    notes: tuple[str, ...]
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    empty: str = ""

    def records(self) -> list[dict[str, str | int | float | None]]:
        """Returns the rows as plain values by name: a share becomes n, of, low and high, money a value a currency."""
        return [
            {
                name: value
                for column, cell in zip(self.columns, row, strict=True)
                for name, value in _plain(column, cell)
            }
            for row in self.rows
        ]


def _plain(column: Column, cell: Cell) -> list[tuple[str, str | int | float | None]]:
    value = cell.value
    if isinstance(value, Interval):
        found = (("n", value.successes), ("of", value.of), ("low", value.low), ("high", value.high))
        return [(f"{column.key}_{name}", number) for name, number in found]
    if isinstance(value, tuple):
        return [(f"{column.key}_{amount.currency}", amount.value) for amount in value]
    return [(column.key, value)]


def csv_table(sheet: Sheet) -> str:
    """Returns a sheet as CSV (RFC 4180, numbers unrounded with a point)."""
    records = sheet.records()
    names = list(dict.fromkeys(name for record in records for name in record)) or [c.key for c in sheet.columns]
    return _written([names, *([record.get(name) for name in names] for record in records)])


def csv_lines(sheets: Sequence[Sheet]) -> str:
    """Returns several sheets as one CSV: table, line (from 1), column, value."""
    lines: list[list[str | int | float | None]] = [["table", "line", "column", "value"]]
    for sheet in sheets:
        for n, record in enumerate(sheet.records(), 1):
            lines += [[sheet.key, n, name, value] for name, value in record.items()]
    return _written(lines)


def _written(lines: Sequence[Sequence[str | int | float | None]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows(["" if value is None else _safe(value) for value in line] for line in lines)
    return out.getvalue()


def _safe(value: str | float) -> str | float:
    # a spreadsheet would run a text that begins like a formula
    return f"'{value}" if isinstance(value, str) and value[:1] in "=+-@\t\r" else value


def text_table(sheet: Sheet, width: int = 150, most: int | None = None) -> list[str]:
    """Returns a sheet as lines for a terminal: title, remarks, and (at most so many rows of) the table in columns."""
    out = [sheet.title, f"  {sheet.about}", *(f"  {note}" for note in sheet.notes)]
    if not sheet.rows:
        return [*out, f"  {sheet.empty}"]
    grid = [[column.head for column in sheet.columns], *([cell.text for cell in row] for row in sheet.rows[:most])]
    widths = [max(len(line[n]) for line in grid) for n in range(len(sheet.columns))]
    spare = width - sum(widths[1:]) - 2 * len(widths)
    widths[0] = max(24, min(widths[0], spare))
    more = len(sheet.rows) - len(grid) + 1
    last = [_("  … and {n} more: --table {table}").format(n=more, table=sheet.key)] if more else []
    return [*out, *("  " + _line(sheet, line, widths) for line in grid), *last]


def _line(sheet: Sheet, texts: Sequence[str], widths: Sequence[int]) -> str:
    cells = []
    for column, text, width in zip(sheet.columns, texts, widths, strict=True):
        short = text if len(text) <= width else text[: width - 1] + "…"
        cells.append(short.rjust(width) if column.figures else short.ljust(width))
    return "  ".join(cells).rstrip()
