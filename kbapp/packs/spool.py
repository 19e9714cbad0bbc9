"""Keeps the payload of a pack aside, on the disk, from the moment it is judged until it is written."""

import hashlib
import tempfile
from collections.abc import Iterator
from types import TracebackType
from typing import Final, Self

from kbapp.errors import InputError
from kbapp.packs.limits import LIMITS, Limits

_TAG_FILES: Final = 6
_IN_MEMORY: Final = 16 * 1024 * 1024


class Spool:
    """Payload files by path, each once; what was judged is what is written."""

    def __init__(self, limits: Limits = LIMITS) -> None:
        self._limits = limits
        self._file = tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY)  # noqa: SIM115 - closed by the context
        self._places: dict[str, tuple[int, int]] = {}
        self.digests: dict[str, str] = {}
        self.size = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._file.close()

    def add(self, path: str, data: bytes) -> None:
        """Takes a file in; the same path again is passed over.

        Raises:
            InputError: ``pack_over_limit``, the pack would be larger than any reader takes.
        """
        if path in self._places:
            return
        self._refuse_too_much(len(data))
        at = self._file.seek(0, 2)
        self._file.write(data)
        self._places[path] = (at, len(data))
        self.digests[path] = hashlib.sha256(data).hexdigest()
        self.size += len(data)

    def _refuse_too_much(self, more: int) -> None:
        limits, count = self._limits, len(self._places) + 1 + _TAG_FILES
        # the directory of the ZIP and the manifests take a share of the packed size: 600 bytes an entry are plenty
        total = self.size + more + count * 600
        if more > limits.file or total > min(limits.packed, limits.unpacked) or count > limits.entries:
            raise InputError("pack_over_limit", size=total, count=count, most=limits.entries, most_size=limits.packed)

    def files(self) -> Iterator[tuple[str, bytes]]:
        """Yields path and bytes, sorted by path."""
        for path in sorted(self._places):
            at, length = self._places[path]
            self._file.seek(at)
            yield path, self._file.read(length)
