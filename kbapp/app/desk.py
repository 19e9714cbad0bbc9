"""What every desk that works on cases of a book shares: saving, and telling the index."""

from collections.abc import Callable
from typing import Final

from kbapp.app.advising import find_map
from kbapp.app.views import CaseView, ChangeSet
from kbapp.errors import InputError
from kbapp.records.base import clean_text
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.store.book import Book
from kbapp.store.values import Saved, StoredCase

SHORTEST_REASON: Final = 10
"""The least length of a reason, in characters."""


class CaseDesk:
    """Cases of one open book, worked on by ``author``. Every method may be called from any thread."""

    def __init__(self, book: Book, author: str, follow: Callable[[int], None]) -> None:
        self._book, self._author, self._follow = book, author, follow

    def _told(self, *saved: Saved) -> ChangeSet:
        """Tells the index of a change and returns what it touched; the first is the case at hand."""
        last = max(one.change for one in saved)
        self._follow(last)
        return ChangeSet(last, tuple(one.case.id for one in saved), saved[0].revision, saved[0].merged)

    def _save(self, case: Case, based_on: int, reason: str) -> ChangeSet:
        return self._told(self._book.save(case, based_on, author=self._author, reason=reason))

    def _map(self, case: Case) -> SectionMap | None:
        if case.map is None:
            return None
        try:
            return find_map(case.map.id, self._book, case.map.version)
        except InputError:
            return None  # drawn by another shop and not here


def view_of(stored: StoredCase) -> CaseView:
    """Returns a stored case as screens see it."""
    return CaseView(stored.case, stored.revision, stored.saved_at, stored.author, stored.origin, stored.signed_here)


def reason_of(text: str) -> str:
    """Returns a reason as a person types it.

    Raises:
        InputError: ``reason_too_short``.
    """
    reason = clean_text(text)
    if len(reason) < SHORTEST_REASON:
        raise InputError("reason_too_short", least=SHORTEST_REASON)
    return reason
