"""The files of a book (photos, waveforms, documents), named by the SHA-256 of their bytes.

In a folder they lie under ``files/ab/abcd…``; on PostgreSQL they are rows in chunks. Reading proves the bytes.
"""

import hashlib
import re
from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import BinaryIO, Final

from sqlalchemy import Connection, insert, select

from kbapp.errors import DamageError, InputError
from kbapp.store.atomic import atomic_file
from kbapp.store.database import Database
from kbapp.store.heads import utc_now
from kbapp.store.location import FolderLocation
from kbapp.store.tables import file, file_chunk
from kbapp.store.troubles import plain_errors

CHUNK: Final = 256 * 1024
_SHA256: Final = re.compile(r"[0-9a-f]{64}")


class Files(ABC):
    """Keeps and gives back files; the same on every kind of book."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def put(self, source: Path | bytes) -> str:
        """Keeps a file (once, however often it is put) and returns its SHA-256."""
        where = str(source) if isinstance(source, Path) else self._database.shown
        with plain_errors(where):
            sha256, size = _digest(_pieces(source))
        if not self.exists(sha256):
            self._keep(sha256, size, source)
        return sha256

    def exists(self, sha256: str) -> bool:
        """Returns whether the book keeps a file."""
        return not self.missing([sha256])

    def missing(self, digests: Iterable[str]) -> tuple[str, ...]:
        """Returns those of the files that the book does not keep, each once, in the order given."""
        wanted = list(dict.fromkeys(digests))
        with self._database.read() as connection:
            here = {
                sha256
                for start in range(0, len(wanted), 500)
                for sha256 in connection.execute(
                    select(file.c.sha256).where(file.c.sha256.in_(wanted[start : start + 500]))
                ).scalars()
            }
        return tuple(sha256 for sha256 in wanted if sha256 not in here)

    def chunks(self, sha256: str) -> Iterator[bytes]:
        """Yields the bytes of a file in pieces, and proves them at the end.

        Raises:
            InputError: ``file_unknown``, the book does not keep it.
            DamageError: ``file_damaged``, the bytes are not those that were put.
        """
        if not _SHA256.fullmatch(sha256) or not self.exists(sha256):
            raise InputError("file_unknown", sha256=sha256)
        proof = hashlib.sha256()
        with ExitStack() as open_things:
            for piece in self._stored(sha256, open_things):
                proof.update(piece)
                yield piece
        if proof.hexdigest() != sha256:
            raise DamageError("file_damaged", sha256=sha256)

    def read(self, sha256: str) -> bytes:
        """Returns the whole of a file, proved. Errors as ``chunks``."""
        return b"".join(self.chunks(sha256))

    def copy_to(self, sha256: str, target: Path) -> None:
        """Writes a file out to ``target``, which appears only when it is whole. Errors as ``chunks``."""
        with plain_errors(str(target)), atomic_file(target) as out:
            for piece in self.chunks(sha256):
                out.write(piece)

    @abstractmethod
    def _keep(self, sha256: str, size: int, source: Path | bytes) -> None: ...

    @abstractmethod
    def _stored(self, sha256: str, open_things: ExitStack) -> Iterator[bytes]: ...


class FolderFiles(Files):
    """Keeps files beside the embedded database."""

    def __init__(self, database: Database, folder: Path) -> None:
        super().__init__(database)
        self.folder = folder

    def place(self, sha256: str) -> Path:
        """Returns where a file lies."""
        return self.place_in(self.folder, sha256)

    @staticmethod
    def place_in(folder: Path, sha256: str) -> Path:
        """Returns where a file lies in a folder of files."""
        return folder / sha256[:2] / sha256

    def _keep(self, sha256: str, size: int, source: Path | bytes) -> None:
        place = self.place(sha256)
        with plain_errors(str(place)):
            place.parent.mkdir(parents=True, exist_ok=True)
            with atomic_file(place) as out:
                _copy(source, sha256, out)
        # the row last: a crash before it leaves a file nobody knows, which the next put replaces
        with self._database.write() as connection:
            _register(connection, sha256, size)

    def _stored(self, sha256: str, open_things: ExitStack) -> Iterator[bytes]:
        try:
            stored = open_things.enter_context(self.place(sha256).open("rb"))
        except FileNotFoundError:
            raise DamageError("file_lost", sha256=sha256, where=str(self.place(sha256))) from None
        with plain_errors(str(self.place(sha256))):
            yield from _pieces_of(stored)


class ServerFiles(Files):
    """Keeps files as rows of the database."""

    def _keep(self, sha256: str, size: int, source: Path | bytes) -> None:
        with self._database.write() as connection:
            if not _register(connection, sha256, size):
                return
            proof = hashlib.sha256()
            for n, piece in enumerate(_pieces(source)):
                proof.update(piece)
                connection.execute(insert(file_chunk).values(sha256=sha256, chunk=n, data=piece))
            if proof.hexdigest() != sha256:
                raise InputError("file_changing", where=str(source))

    def _stored(self, sha256: str, open_things: ExitStack) -> Iterator[bytes]:
        connection = open_things.enter_context(self._database.read())
        n = 0
        while True:
            wanted = select(file_chunk.c.data).where(file_chunk.c.sha256 == sha256, file_chunk.c.chunk == n)
            piece = connection.execute(wanted).scalar()
            if piece is None:
                return
            yield bytes(piece)
            n += 1


def files_of(database: Database) -> Files:
    """Returns the files of a book."""
    if isinstance(database.location, FolderLocation):
        return FolderFiles(database, database.location.files)
    return ServerFiles(database)


def _register(connection: Connection, sha256: str, size: int) -> bool:
    if connection.execute(select(file.c.sha256).where(file.c.sha256 == sha256)).first():
        return False
    connection.execute(insert(file).values(sha256=sha256, size=size, added_at=utc_now()))
    return True


def _copy(source: Path | bytes, sha256: str, out: BinaryIO) -> None:
    proof = hashlib.sha256()
    for piece in _pieces(source):
        proof.update(piece)
        out.write(piece)
    if proof.hexdigest() != sha256:
        raise InputError("file_changing", where=str(source))


def _pieces(source: Path | bytes) -> Iterator[bytes]:
    if isinstance(source, bytes):
        for start in range(0, len(source), CHUNK):
            yield source[start : start + CHUNK]
        return
    with source.open("rb") as opened:
        yield from _pieces_of(opened)


def _pieces_of(opened: BinaryIO) -> Iterator[bytes]:
    while piece := opened.read(CHUNK):
        yield piece


def _digest(pieces: Iterator[bytes]) -> tuple[str, int]:
    proof, size = hashlib.sha256(), 0
    for piece in pieces:
        proof.update(piece)
        size += len(piece)
    return proof.hexdigest(), size
