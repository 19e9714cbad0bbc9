"""Makes a book where a shop names a place for one that holds none yet."""

import uuid
from pathlib import Path

from kbapp.app.places import PRACTICE, places
from kbapp.app.settings import read_settings
from kbapp.errors import InputError
from kbapp.records.case import Shop
from kbapp.store.book import create_book, open_book


def ensure_book(location: str) -> bool:
    """Makes a new book at a location that holds none (no or an empty folder, an empty database); tells whether it did.

    Raises:
        KbError: the place cannot be used, with the reason.
    """
    if location == PRACTICE or (Path(location) / "book.db").is_file():
        return False
    try:
        open_book(location).close()
    except InputError as error:
        if error.code != "book_missing" and not (error.code == "not_a_book" and "://" in location):
            raise
    else:
        return False
    create_book(location, Shop(id=str(uuid.uuid4()), name=read_settings(places().settings)[0].shop_name)).close()
    return True
