"""Sentences for the codes of kbapp.lookup."""

from typing import Final

from kbapp.i18n import N_

SENTENCES: Final[dict[str, str]] = {
    "index_missing": N_("The search index of this book is not there yet. It is built from the book; searching works meanwhile."),
    "index_outdated": N_("The search index was written by another version or has been replaced. It is built anew from the book."),
    "index_of_other_book": N_("The search index belongs to another book or to its state before a restore. It is built anew from the book."),
    "index_damaged": N_("The search index is damaged ({reason}). Nothing of the book is lost: the index is built anew from it."),
    "index_busy": N_("Another Provebook on this PC is just writing the search index. Your case is saved and becomes searchable in a moment."),
    "index_not_written": N_("The search index could not be written ({reason}). Your cases are safe; free some disk space and it catches up."),
    "facet_unknown": N_("One cannot narrow by {found}. Choose one of: {expected}."),
}  # fmt: skip
