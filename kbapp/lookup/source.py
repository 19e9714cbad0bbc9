"""Where cases come from: what the index needs of a book, without knowing one."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from kbapp.records.case import Case


@dataclass(frozen=True, slots=True)
class SourceCase:
    """One case as a change left it; ``case`` is None where the change removed it."""

    change: int
    case_id: str
    case: Case | None
    signed_here: bool = False


class CaseSource(Protocol):
    """A book seen as a feed of changes.

    ``incarnation`` names the book and its present life: a restored book has another one.
    """

    @property
    def incarnation(self) -> str:
        """Names the book and its present life."""

    def last_change(self) -> int:
        """Returns the number of the newest change (0 for an empty book)."""

    def count(self) -> int:
        """Returns how many cases the book has."""

    def changed_since(self, change: int, limit: int) -> Sequence[SourceCase]:
        """Returns at most ``limit`` cases changed after ``change``, in the order of their changes."""
