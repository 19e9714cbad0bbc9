"""Making a new book where there is none, and opening it."""

import uuid

from kbapp.app.session import Session
from kbapp.records.case import Shop
from kbapp.store.book import create_book


def make_and_open(location: str, author: str, shop_name: str = "") -> Session:
    """Makes a new, empty book at a location that holds none and opens it.

    Raises:
        InputError: ``location_wrong``, ``book_exists``, ``folder_not_empty`` or ``database_not_empty``.
        EnvironmentFault: the disk or server refuses.
    """
    create_book(location, Shop(id=str(uuid.uuid4()), name=shop_name)).close()
    return Session.open(location, author=author)
