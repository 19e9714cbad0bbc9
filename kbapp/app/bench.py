"""The Bench: what is open and what is next, what waits for a retest, whom to ask again, what came back."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal

from kbapp.records.vocabulary import State
from kbapp.store.book import Book
from kbapp.store.values import CaseFilter, CaseRow

Group = Literal["open", "retest", "follow_up", "came_back"]
GROUP_STATES: Final[Mapping[Group, tuple[State, ...]]] = {
    "open": ("open",), "retest": ("repaired",), "follow_up": ("repaired", "proved"), "came_back": ("came_back",),
}  # fmt: skip
"""The states of each group, for asking Look First after all of it."""
SHOWN: Final = 50
"""Most lines of a group."""
AHEAD_DAYS: Final = 7
"""How many days before it is due a follow-up is shown."""
_VIN_LENGTH: Final = 17


@dataclass(frozen=True, slots=True)
class BenchRow:
    """A case on the Bench. ``days``: since it was opened; ``due_in``: days until its follow-up, negative when late."""

    group: Group
    row: CaseRow
    days: int | None
    due_in: int | None = None


@dataclass(frozen=True, slots=True)
class BenchView:
    """The lines of every group, the latest changed first, and how many cases each group has in all."""

    rows: tuple[BenchRow, ...]
    counts: Mapping[Group, int]
    cases: int


@dataclass(frozen=True, slots=True)
class Visit:
    """A case found by plate, VIN or phone; ``by`` is blank where only the vehicle's label ties it to such a case."""

    row: CaseRow
    by: Literal["plate", "vin", "phone", ""]


class Bench:
    """The Bench of one open book. Every method may be called from any thread."""

    def __init__(self, book: Book) -> None:
        self._book = book

    def view(self, today: date) -> BenchView:
        """Returns the lines of a day."""
        soon = (today + timedelta(days=AHEAD_DAYS)).isoformat()
        filters: dict[Group, CaseFilter] = {
            "open": CaseFilter(states=("open",)),
            "retest": CaseFilter(states=("repaired",), retest_passed=False),
            "follow_up": CaseFilter(states=("repaired", "proved"), follow_up_due_by=soon),
            "came_back": CaseFilter(states=("came_back",), linked_on=False),
        }
        rows: list[BenchRow] = []
        counts: dict[Group, int] = {}
        for group, wanted in filters.items():
            found = self._book.list_cases(wanted, limit=SHOWN)
            counts[group] = len(found) if len(found) < SHOWN else self._book.count(wanted)
            rows += [_bench_row(group, row, today) for row in found]
        return BenchView(tuple(rows), counts, self._book.count())

    def find(self, wanted: str) -> tuple[Visit, ...]:
        """Returns the visits with this plate, VIN or phone, then the other visits of those vehicles, latest first."""
        matches = self._book.find_private(scanned(wanted))
        rows = {row.id: row for row in self._book.rows([match.case_id for match in matches])}
        visits = [Visit(rows[match.case_id], match.by) for match in matches if match.case_id in rows]
        for label in dict.fromkeys(match.vehicle_ref for match in matches if match.vehicle_ref):
            for row in self._book.list_cases(CaseFilter(vehicle_ref=label)):
                if row.id not in rows:
                    rows[row.id] = row
                    visits.append(Visit(row, ""))
        return tuple(sorted(visits, key=lambda visit: visit.row.opened, reverse=True))


def scanned(text: str) -> str:
    """Returns what a barcode scanner typed without the import mark some VIN labels put in front (common practice).

    No VIN holds the letter I (ISO 3779), so a first I before 17 more characters is that mark.
    """
    text = text.strip()
    return text[1:] if len(text) == _VIN_LENGTH + 1 and text[0] in "Ii" else text


def _bench_row(group: Group, row: CaseRow, today: date) -> BenchRow:
    due = _days_between(today, row.follow_up_due) if group == "follow_up" else None
    opened = _days_between(today, row.opened)
    return BenchRow(group, row, -opened if opened is not None else None, due)


def _days_between(today: date, moment: str) -> int | None:
    """Returns the days from today to a moment, None where not even its day is known."""
    try:
        return (date.fromisoformat(moment[:10]) - today).days
    except ValueError:
        return None
