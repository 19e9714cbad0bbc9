"""One thing that blanking takes out of a case, with the text around it."""

import hashlib
from dataclasses import dataclass
from typing import Final, Literal

Kind = Literal[
    "phone", "email", "plate", "vin", "address", "name", "order_number", "date", "odometer", "file_name", "metadata",
    "file", "vehicle_ref",
]  # fmt: skip

MARKS: Final[dict[Kind, str]] = {
    "phone": "[phone]", "email": "[e-mail]", "plate": "[plate]", "vin": "[VIN]", "address": "[address]",
    "name": "[name]", "order_number": "[order number]",
}  # fmt: skip
"""What stands in place of a removed text; the same in every language, so that packs compare."""
FORCED: Final = frozenset({"vehicle_ref"})
"""Kinds nobody can keep."""
CONTEXT: Final = 40


@dataclass(frozen=True, slots=True)
class Span:
    """A place in a text: characters ``start`` to ``end`` are to become ``put``."""

    start: int
    end: int
    kind: Kind
    put: str


@dataclass(frozen=True, slots=True)
class Removal:
    """What goes (``text``), what stands in its place (``put``), and up to 40 characters on either side.

    ``id`` is the same every time for the same thing in the same place; ``path`` is dotted (``timeline.2.text``).
    """

    id: str
    case: str
    path: str
    kind: Kind
    text: str
    put: str
    before: str = ""
    after: str = ""
    kept: bool = False

    @property
    def forced(self) -> bool:
        """Whether it goes whatever the user says."""
        return self.kind in FORCED

    @property
    def sign(self) -> tuple[str, Kind, str]:
        """What is the same before and after other removals moved it: path, kind and text."""
        return self.path, self.kind, self.text


def removal_in(case_id: str, path: str, text: str, span: Span) -> Removal:
    """Returns the removal of a span of a text."""
    return Removal(
        removal_id(case_id, path, span.start, span.kind, text[span.start : span.end]),
        case_id, path, span.kind, text[span.start : span.end], span.put,
        text[max(0, span.start - CONTEXT) : span.start], text[span.end : span.end + CONTEXT],
    )  # fmt: skip


def removal_id(case_id: str, path: str, start: int, kind: Kind, text: str) -> str:
    """Returns twelve hexadecimal digits that name a removal."""
    return hashlib.sha256(f"{case_id}\n{path}\n{start}\n{kind}\n{text}".encode()).hexdigest()[:12]
