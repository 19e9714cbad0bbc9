"""The locked counter that numbers the commits, and the yearly series that numbers the cases."""

from collections import Counter as Tally
from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import Connection, insert, select, update

from kbapp.records.case import Case
from kbapp.records.moment import parse_moment
from kbapp.store.tables import cases, counter, numbering


def take_changes(connection: Connection, count: int = 1) -> int:
    """Takes the next ``count`` numbers of the change feed and returns the first of them.

    The row stays locked until the transaction ends, so that numbers become visible in their order and without gaps.
    """
    taken = connection.execute(update(counter).values(change=counter.c.change + count).returning(counter.c.change))
    return int(taken.scalar_one()) - count + 1


def last_change(connection: Connection) -> int:
    """Returns the number of the latest commit, 0 for a new book."""
    return int(connection.execute(select(counter.c.change)).scalar_one())


def take_numbers(connection: Connection, cases_without: Sequence[Case]) -> list[str]:
    """Returns a free case number (``2026-0001``) for each case, by the year it was opened in, or this year."""
    years = [_year(case) for case in cases_without]
    free = {year: _take_of_year(connection, year, count) for year, count in Tally(years).items()}
    for numbers in free.values():
        numbers.reverse()
    return [free[year].pop() for year in years]


def _take_of_year(connection: Connection, year: int, count: int) -> list[str]:
    row = connection.execute(select(numbering.c.last).where(numbering.c.year == year)).scalar()
    if row is None:
        connection.execute(insert(numbering).values(year=year, last=0))
    last, numbers = row or 0, list[str]()
    while len(numbers) < count:
        wanted = [f"{year:04d}-{n:04d}" for n in range(last + 1, last + 1 + min(count - len(numbers), 500))]
        taken = set(connection.execute(select(cases.c.number).where(cases.c.number.in_(wanted))).scalars())
        numbers += [number for number in wanted if number not in taken]
        last += len(wanted)
    connection.execute(update(numbering).where(numbering.c.year == year).values(last=last))
    return numbers


def _year(case: Case) -> int:
    return parse_moment(case.opened).year if case.opened else datetime.now().astimezone().year
