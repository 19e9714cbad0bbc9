"""The practice book: made from the practice cases that ship, kept apart from every real book."""

import shutil
from pathlib import Path

from kbapp.app.adding import read_cases
from kbapp.app.people import People, Roster, roster_of
from kbapp.app.places import places
from kbapp.errors import DamageError
from kbapp.records.case import Shop
from kbapp.resources import resource
from kbapp.store.book import create_book
from kbapp.store.values import Incoming

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")


def practice_files() -> tuple[Path, ...]:
    """Returns the files of the practice cases.

    Raises:
        DamageError: the installation has none.
    """
    try:
        files = tuple(sorted(resource("seed_cases").glob("*.json")))
    except FileNotFoundError:
        files = ()
    if not files:
        raise DamageError("practice_cases_missing")
    return files


def fresh_practice_book() -> Path:
    """Makes the practice book anew and returns its folder; what was done in the old one is dropped."""
    folder = places().practice_book
    aside = folder.with_name(folder.name + ".new")
    shutil.rmtree(aside, ignore_errors=True)
    book = create_book(str(aside), SHOP, practice=True, name="Practice")
    try:
        cases = [Incoming(new.case, new.private) for new in read_cases(practice_files())]
        book.add_many(cases, origin="practice", author="Provebook", title="practice")
        People(book, "Provebook").keep(roster_of(Roster(), "MH", "IK RA DS TN", own_work=False), "MH")
    finally:
        book.close()
    shutil.rmtree(folder, ignore_errors=True)
    aside.rename(folder)
    return folder


def ensure_practice_book() -> Path:
    """Returns the folder of the practice book, made if it is not there."""
    folder = places().practice_book
    return folder if (folder / "book.db").is_file() else fresh_practice_book()
