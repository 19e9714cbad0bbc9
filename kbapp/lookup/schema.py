"""The Whoosh schema: one weighted text, its plain spellings, structured facts, a day, and a card.

A word's postings weigh it over all fields of a case at once, so that Whoosh's BM25F on ``text`` is the real BM25F of
the literature (weights first, saturation after), with one list to read for each word instead of one a field.
"""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any, Final
from zlib import crc32

from whoosh.codec.whoosh3 import LENGTHS_COLUMN, W3Codec, W3PerDocReader
from whoosh.columns import NumericColumn
from whoosh.fields import COLUMN, ID, STORED, FieldType, Schema
from whoosh.formats import Existence
from whoosh.util.numeric import byte_to_length

from kbapp.lookup.document import FIELD_WEIGHTS, Document
from kbapp.lookup.lay_words import LAY_WORDS
from kbapp.lookup.word_lists import FORMS, LIGHT_WORDS, STOP_WORDS, UNITS

_LAYOUT: Final = 3
"""Counts up whenever what is written changes."""

BLOCK: Final = 2048
"""Postings of one block: large blocks decode several times faster, and the questions here read whole lists."""


@lru_cache(maxsize=1)
def format_version() -> int:
    """Returns the number of the index format; an index of another number is rebuilt.

    The tables that shape the words of a case are part of it: a grown table must not meet an index made by the old one.
    """
    tables = (
        sorted(STOP_WORDS),
        sorted(LIGHT_WORDS),
        sorted(UNITS),
        sorted(FORMS.items()),
        sorted(FIELD_WEIGHTS.items()),
        sorted(LAY_WORDS.items()),
    )
    return _LAYOUT << 32 | crc32(repr(tables).encode())


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


class _LengthReader(W3PerDocReader):  # type: ignore[misc]  # Whoosh is untyped
    """Reads the lengths of a field once; Whoosh asks the file system for every posting of a field that has none."""

    def __init__(self, storage: Any, segment: Any) -> None:
        super().__init__(storage, segment)
        self._lengths: dict[str, list[int] | None] = {}

    def doc_field_length(self, docnum: int, fieldname: str, default: int = 0) -> int:
        """Returns the length of a field in a document."""
        if fieldname not in self._lengths:
            name = f"_{fieldname}_len"
            found = self.has_column(name)
            self._lengths[fieldname] = list(self.column_reader(name, LENGTHS_COLUMN)) if found else None
        lengths = self._lengths[fieldname]
        return default if lengths is None else byte_to_length(lengths[docnum])


class Codec(W3Codec):  # type: ignore[misc]  # Whoosh is untyped
    """Whoosh's own codec with larger blocks and quicker lengths; what it writes is the same format."""

    def __init__(self) -> None:
        super().__init__(blocklimit=BLOCK)

    def per_document_reader(self, storage: Any, segment: Any) -> W3PerDocReader:
        """Returns the reader of what is kept for each document."""
        return _LengthReader(storage, segment)


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
