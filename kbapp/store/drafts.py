"""Keeps drafts of running text in files of this PC, outside the book, so that they outlive a crash or a lost server.

A draft belongs to one incarnation of a book: after a restore the drafts of before are not offered. A draft that cannot
be read is set aside under another name and never stands in the way.
"""

import hashlib
import json
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from kbapp.store.atomic import TEMPORARY_SUFFIX, atomic_file
from kbapp.store.heads import utc_now
from kbapp.store.troubles import plain_errors

_SUFFIX: Final = ".draft"
_SPOILT: Final = ".spoilt"


@dataclass(frozen=True, slots=True)
class Draft:
    """A text as it was typed; ``kept_at`` is in UTC. What ``key`` and ``text`` mean is the caller's affair."""

    key: str
    text: str
    kept_at: str


class Drafts:
    """The drafts of one book in a folder of this PC."""

    def __init__(self, folder: Path, incarnation: str) -> None:
        self.folder = folder / incarnation

    def _place(self, key: str) -> Path:
        return self.folder / (hashlib.sha256(key.encode("utf-8", "surrogatepass")).hexdigest()[:40] + _SUFFIX)

    def keep(self, key: str, text: str) -> Draft:
        """Keeps a draft in place of the one before; when this returns it is on the disk.

        Raises:
            EnvironmentFault: the disk is full or refuses.
        """
        draft = Draft(key, text, utc_now())
        inner = {"key": key, "text": text, "kept_at": draft.kept_at}
        with plain_errors(str(self.folder)):
            self.folder.mkdir(parents=True, exist_ok=True)
            with atomic_file(self._place(key)) as file:
                file.write(json.dumps({**inner, "proof": _proof(inner)}).encode("ascii"))
        return draft

    def get(self, key: str) -> Draft | None:
        """Returns the draft kept under a key, or None where there is none that can be read."""
        return _read(self._place(key))

    def drop(self, key: str) -> None:
        """Forgets a draft; one that does not exist is forgotten already."""
        with plain_errors(str(self.folder)):
            self._place(key).unlink(missing_ok=True)

    def all(self) -> tuple[Draft, ...]:
        """Returns every draft that can be read, the latest first."""
        try:
            places = sorted(self.folder.glob("*" + _SUFFIX))
        except OSError:
            return ()
        drafts = [draft for draft in map(_read, places) if draft is not None]
        return tuple(sorted(drafts, key=lambda draft: draft.kept_at, reverse=True))

    def tidy(self) -> None:
        """Removes what a crash left half written."""
        with suppress(OSError):
            for left_over in self.folder.glob("*" + TEMPORARY_SUFFIX):
                left_over.unlink(missing_ok=True)


def _read(place: Path) -> Draft | None:
    try:
        data = place.read_bytes()
    except OSError:
        return None
    try:
        inner = json.loads(data)
        proof = inner.pop("proof")
        draft = Draft(str(inner["key"]), str(inner["text"]), str(inner["kept_at"]))
        if proof == _proof(inner):
            return draft
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        pass
    with suppress(OSError):
        place.replace(place.with_suffix(_SPOILT))
    return None


def _proof(inner: dict[str, str]) -> str:
    return hashlib.sha256(json.dumps(inner, sort_keys=True).encode("ascii")).hexdigest()
