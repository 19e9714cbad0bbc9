"""A fault of a document as a value: all of them are collected and shown at once."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from kbapp.errors import InputError

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Fault:
    """Names one thing wrong with a document.

    ``path`` is dotted with list positions from 0 (``timeline.2.outcome``; empty for the whole document), ``code`` is
    worded by ``kbapp.wording``, ``found`` and ``expected`` are short texts, already cut to a readable length.
    """

    path: str
    code: str
    found: str = ""
    expected: str = ""

    def as_dict(self) -> dict[str, str]:
        """Returns the fault as plain JSON values."""
        return {"path": self.path, "code": self.code, "found": self.found, "expected": self.expected}


class DocumentFaults(InputError):
    """Carries every fault of one document that cannot be taken."""

    def __init__(self, faults: Iterable[Fault], source: str = "") -> None:
        self.faults = tuple(faults)
        self.source = source
        super().__init__("document_faults", count=len(self.faults), source=source)


@dataclass(frozen=True, slots=True)
class Checked(Generic[T]):
    """Holds a read document, or the faults that kept it from being read."""

    value: T | None = None
    faults: tuple[Fault, ...] = field(default=())

    def unwrap(self, source: str = "") -> T:
        """Returns the value.

        Raises:
            DocumentFaults: there are faults; all of them are carried.
        """
        if self.value is None or self.faults:
            raise DocumentFaults(self.faults, source)
        return self.value


def shorten(value: object, limit: int = 80) -> str:
    """Returns a value as one printable line of at most ``limit`` characters, for ``found`` and messages."""
    text = value if isinstance(value, str) else json_word(value)
    text = "".join(char if char.isprintable() else f"\\u{ord(char):04x}" for char in text[: limit + 1])
    return text if len(text) <= limit else text[: limit - 1] + "…"


def json_word(value: object) -> str:
    """Returns how JSON names or writes a value: ``null``, ``true``, ``1.5``, ``object``, ``list``."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, int):
        return str(value) if value.bit_length() < 1000 else hex(value)  # str() refuses thousands of digits
    if isinstance(value, Mapping):
        return "object"
    return "list" if isinstance(value, (list, tuple)) else type(value).__name__
