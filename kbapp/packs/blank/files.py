"""Blanks the files of a case: pictures made anew, texts searched, names replaced; what nobody can look into stays."""

import hashlib
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from typing import Any, Final

from kbapp.errors import InputError
from kbapp.packs.blank.finding import blanked
from kbapp.packs.blank.images import hidden_parts, is_picture, remade
from kbapp.packs.blank.listed import Listed
from kbapp.packs.blank.removal import Removal, removal_id, removal_in

MOST_TEXT: Final = 4 * 1024 * 1024
_ENDINGS: Final = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "text/plain": "txt",
    "text/csv": "csv",
    "application/pdf": "pdf",
}

ReadFile = Callable[[str], bytes]


@dataclass(frozen=True, slots=True)
class OutFile:
    """The bytes of a file as they leave the book."""

    sha256: str
    data: bytes


class FileBlanking:
    """Blanks the attachments of one case; ``removals`` and ``files`` grow with each."""

    def __init__(self, case_id: str, listed: Listed, read_file: ReadFile, kept: Collection[str]) -> None:
        self._case_id, self._listed, self._read, self._kept = case_id, listed, read_file, kept
        self.removals: list[Removal] = []
        self.files: list[OutFile] = []

    def attachment(self, place: int, number: int, plain: dict[str, Any]) -> dict[str, Any] | None:
        """Returns an attachment as it leaves the book, or None where its file stays at home.

        ``place`` is its place in the case, ``number`` (from 1) the one its new name carries.
        """
        path = f"attachments.{place}"
        made = self._content(path, plain)
        if made is None:
            return None
        data, media_type = made
        sha256 = hashlib.sha256(data).hexdigest()
        self.files.append(OutFile(sha256, data))
        name = self._name(f"{path}.name", plain["name"], number, media_type)
        out = {**plain, "sha256": sha256, "name": name, "media_type": media_type, "size": len(data)}
        # the photo a picture was made from stays in the book, and so does its name
        return {field: value for field, value in out.items() if value not in ("", None) and field != "original"}

    def _content(self, path: str, plain: dict[str, Any]) -> tuple[bytes, str] | None:
        data = self._read(plain["sha256"])
        media_type = plain.get("media_type", "")
        if is_picture(data):
            try:
                return self._picture(path, data, media_type)
            except InputError:
                return self._unseen(path, plain, data, media_type)
        text = _as_text(data)
        if text is None:
            return self._unseen(path, plain, data, media_type)
        return self._text(path, text).encode(), media_type or "text/plain"

    def _picture(self, path: str, data: bytes, media_type: str) -> tuple[bytes, str] | None:
        found = hidden_parts(data)
        if not found:
            return data, "image/jpeg" if data.startswith(b"\xff\xd8") else "image/png"
        new = remade(data)
        kept = self._note(path, "metadata", ", ".join(found), "")
        return (data, media_type) if kept else (new.data, new.media_type)

    def _text(self, path: str, text: str) -> str:
        place = f"{path}.file"
        return blanked(
            text, self._listed, "file", lambda now, span: self._add(removal_in(self._case_id, place, now, span))
        )

    def _unseen(self, path: str, plain: dict[str, Any], data: bytes, media_type: str) -> tuple[bytes, str] | None:
        return (data, media_type) if self._note(path, "file", plain["name"], "") else None

    def _name(self, path: str, name: str, number: int, media_type: str) -> str:
        new = f"attachment-{number}.{_ENDINGS.get(media_type, 'bin')}"
        if name in ("", new):
            return new
        return name if self._note(path, "file_name", name, new) else new

    def _note(self, path: str, kind: Any, text: str, put: str) -> bool:
        name = removal_id(self._case_id, path, 0, kind, text)
        return self._add(Removal(name, self._case_id, path, kind, text, put))

    def _add(self, removal: Removal) -> bool:
        """Notes a removal and returns whether the user keeps what it would take."""
        kept = removal.id in self._kept and not removal.forced
        self.removals.append(replace(removal, kept=kept))
        return kept


def _as_text(data: bytes) -> str | None:
    if len(data) > MOST_TEXT or b"\0" in data or data.startswith(b"%PDF"):
        return None
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return None
