"""Names of the structured facts of a case in the index: ``kind`` and value joined by a unit separator."""

from typing import Final

SEPARATOR: Final = "\x1f"

VEHICLE: Final = "vehicle"
TRIED: Final = "tried"
CURED: Final = "cured"
TEST: Final = "test"
SIGNED: Final = "signed"
SPOTTED: Final = "spotted"
"""A concern that the words of the case describe, beside those it states."""


def mark(kind: str, *values: str) -> str:
    """Returns the index term of a fact."""
    return SEPARATOR.join((kind, *values))


def unmark(term: str) -> tuple[str, ...]:
    """Returns the values of a fact, without its kind."""
    return tuple(term.split(SEPARATOR)[1:])
