"""Plain values that leave the app layer."""

from dataclasses import dataclass

from kbapp.errors import KbError
from kbapp.records.case import Case, Shop
from kbapp.store.values import CaseFilter, CaseRow

__all__ = ["BookInfo", "CaseFilter", "CaseRow", "CaseView", "ChangeSet", "IndexState"]


@dataclass(frozen=True, slots=True)
class BookInfo:
    """What a screen says about the open book."""

    name: str
    location: str
    practice: bool
    shop: Shop
    author: str
    incarnation: str
    warnings: tuple[KbError, ...] = ()


@dataclass(frozen=True, slots=True)
class CaseView:
    """One case with its place in the book."""

    case: Case
    revision: int
    saved_at: str
    author: str
    origin: str
    signed_here: bool


@dataclass(frozen=True, slots=True)
class ChangeSet:
    """What a change touched, so that screens know what to refresh. ``change`` is the book's last change number.

    ``batch`` names the import that cases came in with.
    """

    change: int
    cases: tuple[str, ...]
    revision: int = 0
    merged: bool = False
    batch: str = ""


@dataclass(frozen=True, slots=True)
class IndexState:
    """Whether Look First answers from the index, and how far a rebuild is (cases done, of)."""

    ready: bool
    done: int = 0
    of: int = 0
