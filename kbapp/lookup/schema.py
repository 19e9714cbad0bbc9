"""The Whoosh schema: one weighted text, its plain spellings, structured facts, a day, and a card.

A word's postings weigh it over all fields of a case at once, so that Whoosh's BM25F on ``text`` is the real BM25F of the
literature (weights first, saturation after), with one list to read for each word instead of one a field.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from whoosh.codec.whoosh3 import W3Codec
from whoosh.columns import NumericColumn
from whoosh.fields import COLUMN, ID, STORED, FieldType, Schema
from whoosh.formats import Existence

from kbapp.lookup.document import Document

FORMAT_VERSION: Final = 1
"""Counts up whenever what is written changes; an index of another number is rebuilt."""

BLOCK: Final = 2048
"""Postings of one block: large blocks decode several times faster, and the questions here read whole lists."""


class Weighed(FieldType):  # type: ignore[misc]  # Whoosh is untyped
    """A field given as term → weight; its length is the sum of the weights."""

    def __init__(self) -> None:
        super().__init__(Existence(), None, scorable=True)

    def index(self, value: Mapping[str, int], **_kwargs: Any) -> Iterator[tuple[bytes, int, float, bytes]]:
        """Yields Whoosh's postings: term, frequency, weight, no payload."""
        for term, weight in value.items():
            yield term.encode(), weight, float(weight), b""


class Facts(FieldType):  # type: ignore[misc]  # Whoosh is untyped
    """A field given as a set of exact terms that a case has or lacks."""

    def __init__(self) -> None:
        super().__init__(Existence(), None, scorable=False)

    def index(self, value: frozenset[str], **_kwargs: Any) -> Iterator[tuple[bytes, int, float, bytes]]:
        """Yields Whoosh's postings: term, frequency 1, weight 1, no payload."""
        for term in value:
            yield term.encode(), 1, 1.0, b""


def new_schema() -> Schema:
    """Returns the schema of a fresh index."""
    return Schema(
        id=ID(unique=True, stored=True),
        number=ID(),
        text=Weighed(),
        plain=Facts(),
        mark=Facts(),
        opened=COLUMN(NumericColumn("i")),
        card=STORED(),
    )


def new_codec() -> W3Codec:
    """Returns the codec segments are written with."""
    return W3Codec(blocklimit=BLOCK)


def fields_of(document: Document) -> dict[str, Any]:
    """Returns a document as the arguments of Whoosh's ``add_document``."""
    return {
        "id": document.case_id,
        "number": document.number or None,
        "text": document.weights,
        "plain": document.plain,
        "mark": document.marks,
        "opened": document.opened,
        "card": document.card,
    }
