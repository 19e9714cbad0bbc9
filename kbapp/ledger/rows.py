"""What the ledger counts: cases, symptoms, links, parts and tests as columns of the projection.

The names of the columns are those of the projection. ``..._COLUMNS`` say which are read one by one, ``..._PACKED``
which come packed into one text, each group in its order.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from kbapp.ledger.columns import Flags, Floats, Numbers, Words, flags, floats, numbers, unpack, words

Columns = Sequence[Sequence[Any]]
Packed = tuple[tuple[str, ...], ...]
PACKED_BY: Final = "\x1f"
"""Stands between packed texts; no text of a record can hold it."""
JOB_COLUMNS: Final = (
    "revision", "id", "number", "vehicle_ref", "signed_here", "odometer_km", "cause_separated"
)  # fmt: skip
JOB_PACKED: Final[Packed] = (
    ("state", "origin", "system", "make", "family", "map_id", "retest_result"),
    ("opened_day", "signed_at"),
    ("cause_section", "cause_part", "cause_position"),
)
SYMPTOM_COLUMNS: Final = ("revision", "term")
LINK_COLUMNS: Final = ("revision", "kind", "case_id")
PART_COLUMNS: Final = ("revision", "line", "cost", "labour_minutes", "at")
PART_PACKED: Final[Packed] = (("part", "position", "stage", "purpose", "effect", "currency", "source"),)
TEST_COLUMNS: Final = ("revision", "line", "minutes")
TEST_PACKED: Final[Packed] = (("test", "isolates", "outcome", "status", "strength", "source"),)


@dataclass(frozen=True, slots=True, eq=False)
class Jobs:
    """Cases. ``revision`` is the key their lines carry; days are ISO dates, blank where unknown."""

    revision: Numbers
    id: Sequence[str]
    number: Sequence[str]
    state: Words
    signed_here: Flags
    origin: Words
    system: Words
    make: Words
    family: Words
    opened_day: Words
    signed_at: Words
    vehicle_ref: Sequence[str]
    odometer_km: Floats
    map_id: Words
    cause_section: Words
    cause_part: Words
    cause_position: Words
    not_separated: Flags
    retest_result: Words

    def __len__(self) -> int:
        return len(self.id)

    def name(self, job: int) -> str:
        """Returns the number of a case, else its id."""
        return self.number[job] or self.id[job]


@dataclass(frozen=True, slots=True, eq=False)
class Symptoms:
    """Symptoms of cases."""

    revision: Numbers
    term: Words

    def __len__(self) -> int:
        return len(self.revision)


@dataclass(frozen=True, slots=True)
class Links:
    """Ties of cases to others."""

    revision: Sequence[int]
    kind: Sequence[str]
    case_id: Sequence[str]


@dataclass(frozen=True, slots=True, eq=False)
class Parts:
    """Parts of timelines; ``line`` is the place there, ``cost`` is in ``currency``."""

    revision: Numbers
    line: Numbers
    part: Words
    position: Words
    stage: Words
    purpose: Words
    effect: Words
    cost: Floats
    currency: Words
    labour_minutes: Floats
    at: Words
    source: Words


@dataclass(frozen=True, slots=True, eq=False)
class Tests:
    """Tests of timelines; ``line`` is the place there."""

    __test__ = False  # not a test case for pytest
    revision: Numbers
    line: Numbers
    test: Words
    isolates: Words
    outcome: Words
    status: Words
    strength: Words
    minutes: Floats
    source: Words


@dataclass(frozen=True, slots=True)
class GuardRow:
    """What was stamped on a part when it was judged; ``overridden``: fitted against the guard, with a reason."""

    case_id: str
    part: str
    position: str
    stage: str
    rules: tuple[tuple[str, str], ...]
    overridden: bool


def _texts(columns: Columns, packed: Packed) -> dict[str, Words]:
    """Returns the packed columns by name; they stand last."""
    out: dict[str, Words] = {}
    for values, names in zip(columns[-len(packed) :], packed, strict=True):
        out |= unpack(values, names, PACKED_BY)
    return out


def jobs_of(columns: Columns) -> Jobs:
    """Returns the cases of columns read by ``JOB_COLUMNS`` and ``JOB_PACKED``."""
    revision, case_id, number, vehicle_ref, signed_here, odometer, separated, *_packed = columns
    return Jobs(
        revision=numbers(revision),
        id=case_id,
        number=number,
        vehicle_ref=vehicle_ref,
        signed_here=flags(signed_here),
        odometer_km=floats(odometer),
        not_separated=np.array([value is not None and not value for value in separated], dtype=np.bool_),
        **_texts(columns, JOB_PACKED),
    )


def symptoms_of(columns: Columns) -> Symptoms:
    """Returns the symptoms of columns read by ``SYMPTOM_COLUMNS``."""
    revision, term = columns
    return Symptoms(numbers(revision), words(term))


def links_of(columns: Columns) -> Links:
    """Returns the links of columns read by ``LINK_COLUMNS``."""
    return Links(*columns)


def parts_of(columns: Columns) -> Parts:
    """Returns the parts of columns read by ``PART_COLUMNS`` and ``PART_PACKED``."""
    revision, line, cost, labour, at, *_packed = columns
    return Parts(
        revision=numbers(revision),
        line=numbers(line),
        cost=floats(cost),
        labour_minutes=floats(labour),
        at=words(at),
        **_texts(columns, PART_PACKED),
    )


def tests_of(columns: Columns) -> Tests:
    """Returns the tests of columns read by ``TEST_COLUMNS`` and ``TEST_PACKED``."""
    revision, line, minutes, *_packed = columns
    return Tests(
        revision=numbers(revision), line=numbers(line), minutes=floats(minutes), **_texts(columns, TEST_PACKED)
    )
