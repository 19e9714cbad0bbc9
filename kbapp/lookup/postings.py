"""Reads one immutable Whoosh segment as numpy arrays.

The only module that touches private attributes of Whoosh: its public matchers step one posting at a time in Python.
Tests compare what is read here with Whoosh's own search, to the last digit. Everything a damaged file can raise
leaves as ``DamageError("index_damaged")``.
"""

import pickle
import struct
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Lock
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from whoosh.codec.whoosh3 import LENGTHS_COLUMN
from whoosh.columns import NumericColumn
from whoosh.fields import Schema
from whoosh.filedb.filestore import FileStorage
from whoosh.reading import SegmentReader
from whoosh.util.numeric import byte_to_length

from kbapp.errors import DamageError

Ids = NDArray[np.int32]
Weights = NDArray[np.float32]

_ENTRY: Final = struct.Struct("!ii")  # key length, value length
_DF: Final = struct.Struct("!I")
_DF_AT: Final = 5  # after one flag byte and the total weight (float)

LENGTHS: Final[NDArray[np.int32]] = np.array([byte_to_length(byte) for byte in range(256)], dtype=np.int32)
"""The field length each length byte stands for."""


class Postings(NamedTuple):
    """The documents of one term, ascending, and its weight in each."""

    ids: Ids
    weights: Weights


NOTHING: Final = Postings(np.empty(0, dtype=np.int32), np.empty(0, dtype=np.float32))


@contextmanager
def damage_guard() -> Iterator[None]:
    """Turns whatever reading a damaged file raises into one error.

    Raises:
        DamageError: ``index_damaged``.
    """
    try:
        yield
    except (MemoryError, RecursionError):
        raise
    except Exception as error:  # ten kinds were seen on damaged files; all of them mean: rebuild
        raise DamageError("index_damaged", reason=type(error).__name__) from error


class Segment:
    """One open segment; every method may be called from any thread."""

    def __init__(self, storage: FileStorage, schema: Schema, segment: Any) -> None:
        self.id: str = segment.segment_id()
        self.count: int = segment.doc_count_all()
        self._lock = Lock()
        with damage_guard():
            self._reader: Any = SegmentReader(storage, schema, segment)
        self._closed = False

    def postings(self, field: str, term: str) -> Postings:
        """Returns all postings of a term, deleted documents included; empty where the term is unknown."""
        key = term.encode("utf-8", "replace")
        with self._lock, damage_guard():
            terms = self._reader._terms  # noqa: SLF001 - see the module's docstring
            if (field, key) not in terms:
                return NOTHING
            matcher = terms.matcher(field, key, self._reader.schema[field].format)
            ids, weights = [], []
            for block_ids, block_weights in _blocks(matcher):
                ids.append(block_ids)
                weights.append(block_weights)
        return Postings(np.concatenate(ids), np.concatenate(weights))

    def lexicon(self, field: str) -> tuple[list[str], NDArray[np.int64]]:
        """Returns a field's terms in byte order and the number of documents of each, deleted ones included."""
        with self._lock, damage_guard():
            return _read_terms(self._reader._terms, field)  # noqa: SLF001

    def lengths(self) -> NDArray[np.uint8]:
        """Returns the length byte of field ``text`` for each document."""
        return self._column("_text_len", LENGTHS_COLUMN, np.dtype("u1")).astype(np.uint8)

    def days(self) -> Ids:
        """Returns column ``opened`` for each document."""
        return self._column("opened", NumericColumn("i"), np.dtype(">i4")).astype(np.int32)

    def _column(self, name: str, column: NumericColumn, kind: np.dtype[Any]) -> NDArray[Any]:
        values = np.zeros(self.count, dtype=kind)
        with self._lock, damage_guard():
            perdoc = self._reader._perdoc  # noqa: SLF001
            if perdoc.has_column(name):
                reader = perdoc.column_reader(name, column)
                raw = reader._dbfile.get(reader._basepos, reader._count * kind.itemsize)  # noqa: SLF001
                stored = np.frombuffer(raw, dtype=kind)
                values[: len(stored)] = stored
        return values

    def length_total(self) -> int:
        """Returns the sum of the lengths of field ``text``."""
        return int(self._reader.field_length("text"))

    def card(self, document: int) -> dict[str, Any]:
        """Returns the stored card of a document, with its case id under ``id``."""
        with self._lock, damage_guard():
            stored = self._reader.stored_fields(document)
            return {"id": stored["id"], **stored["card"]}

    def close(self) -> None:
        """Closes the files; closing twice is harmless."""
        with self._lock:
            if not self._closed:
                self._closed = True
                self._reader.close()


def _blocks(matcher: Any) -> Iterator[tuple[Ids, Weights]]:
    """Yields a posting list block by block as arrays (Whoosh steps through it one posting at a time)."""
    while True:
        raw = matcher._postfile.get(matcher._dataoffset, matcher._nextoffset - matcher._dataoffset)  # noqa: SLF001
        data = zlib.decompress(raw) if matcher._compression else raw  # noqa: SLF001
        deltas, weights, _payload = pickle.loads(data)  # noqa: S301 - a file of our own, its checksum was compared
        ids = np.cumsum(np.array(deltas, dtype=np.int32), dtype=np.int32)
        if weights is None:
            yield ids, np.ones(len(ids), dtype=np.float32)
        elif isinstance(weights, float):
            yield ids, np.full(len(ids), weights, dtype=np.float32)
        else:
            yield ids, np.array(weights, dtype=np.float32)
        if matcher._lastblock:  # noqa: SLF001
            return
        matcher._goto(matcher._nextoffset)  # noqa: SLF001


def _read_terms(terms: Any, field: str) -> tuple[list[str], NDArray[np.int64]]:
    number = terms._fieldmap.get(field)  # noqa: SLF001
    if number is None:
        return [], np.empty(0, dtype=np.int64)
    table = terms._tindex  # noqa: SLF001
    start = table.closest_key_pos(struct.pack("!H", number))
    end = table.closest_key_pos(struct.pack("!H", number + 1))
    raw = table.dbfile.get(start, (table.endofdata if end is None else end) - start)
    return _walk(raw, _ENTRY.unpack_from, _DF.unpack_from)


def _walk(
    raw: bytes, entry_at: Callable[[bytes, int], tuple[Any, ...]], count_at: Callable[[bytes, int], tuple[Any, ...]]
) -> tuple[list[str], NDArray[np.int64]]:
    names, counts = [], []
    at, end = 0, len(raw)
    while at < end:
        key, value = entry_at(raw, at)
        data = at + 8 + key
        names.append(raw[at + 10 : data].decode())
        counts.append(count_at(raw, data + _DF_AT)[0])
        at = data + value
    return names, np.array(counts, dtype=np.int64)
