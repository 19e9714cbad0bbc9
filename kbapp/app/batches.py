"""Imports seen from outside: which there were, and one of them taken out of view again."""

from dataclasses import dataclass

from kbapp.app.views import ChangeSet
from kbapp.store.book import Book


@dataclass(frozen=True, slots=True)
class BatchUndone:
    """What undoing an import came to: what changed, how many cases left, and how many stayed as they were touched."""

    changes: ChangeSet
    removed: int
    kept: int


def undo_batch(book: Book, batch_id: str, author: str) -> BatchUndone:
    """Takes what an import brought out of view, except what was touched since.

    Raises:
        InputError: ``batch_unknown`` or ``batch_undone``.
    """
    undone = book.undo_batch(batch_id, author=author)
    touched = (*undone.removed, *undone.set_back)
    return BatchUndone(ChangeSet(undone.last_change, touched), len(touched), len(undone.kept))
