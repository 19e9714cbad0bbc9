"""The plain values that leave a book: what was saved, stored cases, changes, batches, light rows."""

from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from kbapp.errors import KbError
from kbapp.records.case import Case, Shop
from kbapp.records.merge import Conflict
from kbapp.records.private import PrivateDetails
from kbapp.records.vocabulary import State, System

Origin = Literal["own", "outside", "practice"]
"""Where a case comes from: this shop, a file of another shop, or the practice book (its cases count as signed)."""
ChangeKind = Literal["saved", "removed", "accepted", "private", "erased"]


@dataclass(frozen=True, slots=True)
class BookInfo:
    """What a book says of itself; ``incarnation`` is new whenever it is created or restored."""

    book_id: str
    incarnation: str
    name: str
    shop: Shop
    practice: bool
    location: str
    format: str
    created_at: str


@dataclass(frozen=True, slots=True)
class Saved:
    """What a save came to. ``merged`` says that changes of others were taken in, ``case`` is the document as kept."""

    revision: int
    change: int
    case: Case
    merged: bool = False


@dataclass(frozen=True, slots=True)
class StoredCase:
    """A case as the book holds it; ``change`` is the latest change that touched it, ``saved_at`` is in UTC."""

    case: Case
    revision: int
    change: int
    saved_at: str
    author: str
    origin: Origin
    signed_here: bool


@dataclass(frozen=True, slots=True)
class CaseFilter:
    """Which cases a list shows; an empty field does not restrict. Days are ISO dates, both ends included."""

    states: tuple[State, ...] = ()
    systems: tuple[str, ...] = ()
    symptom: str = ""
    make: str = ""
    family: str = ""
    generation: str = ""
    engine: str = ""
    vehicle_ref: str = ""
    map_id: str = ""
    origins: tuple[Origin, ...] = ()
    signed_here: bool | None = None
    opened_from: str = ""
    opened_to: str = ""
    follow_up_due_by: str = ""
    retest_passed: bool | None = None
    linked_on: bool | None = None
    """Whether a case that came back names the case it came back as."""


@dataclass(frozen=True, slots=True)
class CaseRow:
    """A case in one line, for lists and text search. ``opened`` is as written, distances are in km."""

    id: str
    number: str
    state: State
    system: System | None
    make: str
    family: str
    generation: str
    model_year: int | None
    engine: str
    odometer_km: float | None
    concern: str
    cause: str
    cause_section: str
    opened: str
    vehicle_ref: str
    follow_up_due: str
    retest_result: str
    revision: int
    change: int
    saved_at: str
    author: str
    origin: Origin
    signed_here: bool


@dataclass(frozen=True, slots=True)
class Revision:
    """One immutable version of a case, without its document."""

    revision: int
    case_id: str
    saved_at: str
    author: str
    reason: str
    digest: str
    based_on: int | None


@dataclass(frozen=True, slots=True)
class Change:
    """One line of the change feed: numbers rise by one, in the order of the commits."""

    number: int
    case_id: str
    kind: ChangeKind
    revision: int
    at: str
    author: str
    batch: str | None = None


@dataclass(frozen=True, slots=True)
class ChangedDocument:
    """A case for whoever follows the feed: ``case`` is None when it is no longer in view."""

    change: int
    case_id: str
    case: Case | None
    signed_here: bool
    origin: Origin


@dataclass(frozen=True, slots=True)
class Incoming:
    """A case to be added; ``based_on`` names the head it replaces where the case is already here."""

    case: Case
    private: PrivateDetails | None = None
    based_on: int | None = None


class ManyIncoming(ABC):
    """Cases to be added that are too many to hold at once: ``each`` gives them one by one, the same every time."""

    @abstractmethod
    def each(self) -> Iterator[Incoming]:
        """Yields the cases; it is asked twice."""


@dataclass(frozen=True, slots=True)
class Batch:
    """Cases that came in as one, and can be taken out of view as one."""

    id: str
    title: str
    origin: Origin
    author: str
    at: str
    count: int
    first_change: int
    last_change: int
    cases: tuple[str, ...] = ()
    undone_at: str | None = None


@dataclass(frozen=True, slots=True)
class Undone:
    """What undoing a batch came to: cases taken out of view or set back, and those kept because they were touched."""

    batch: str
    removed: tuple[str, ...]
    set_back: tuple[str, ...]
    kept: tuple[str, ...]
    last_change: int


@dataclass(frozen=True, slots=True)
class PrivateMatch:
    """A case found by private details; ``by`` says which of plate, vin or phone agreed."""

    case_id: str
    by: Literal["plate", "vin", "phone"]
    vehicle_ref: str
    number: str


class StaleSave(KbError):
    """Refuses a save that changes what someone else changed too; nothing is written.

    ``base`` is the version the save started from, ``mine`` what was to be saved, ``theirs`` what the book holds now
    (at ``head``), ``conflicts`` the fields that both changed.
    """

    def __init__(self, base: Case, mine: Case, theirs: Case, head: int, conflicts: tuple[Conflict, ...]) -> None:
        self.base = base
        self.mine = mine
        self.theirs = theirs
        self.head = head
        self.conflicts = conflicts
        super().__init__("stale_save", number=theirs.number, count=len(conflicts))
