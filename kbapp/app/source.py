"""Lets the index read the book: store and lookup do not know each other."""

from collections.abc import Sequence

from kbapp.lookup.source import SourceCase
from kbapp.store.book import Book


class BookSource:
    """Gives the cases of a book in the order of its change feed."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self.incarnation = book.info.incarnation

    def last_change(self) -> int:
        """Returns the number of the book's last change."""
        return self._book.last_change()

    def count(self) -> int:
        """Returns how many cases are in view."""
        return self._book.count()

    def changed_since(self, change: int, limit: int) -> Sequence[SourceCase]:
        """Returns cases changed after ``change``, oldest change first, at most ``limit``."""
        return [
            SourceCase(item.change, item.case_id, item.case, item.signed_here)
            for item in self._book.documents_changed_since(change, limit)
        ]
