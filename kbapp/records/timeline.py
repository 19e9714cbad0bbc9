"""The timeline of a case: parts, services, tests, findings and notes in the order they happened."""

from typing import Annotated, Final, Literal

from pydantic import Discriminator, Field, Tag

from kbapp.records.base import SAFE_INTEGER, WHOLE, Flag, Line, Minutes, Number, ReasonText, Record, Text, Word
from kbapp.records.moment import Moment

Source = Literal["own", "reported"]
Stage = Literal["planned", "fitted", "removed"]
Purpose = Literal["diagnostic", "maintenance", "recall", "measured", "set", "seal", "damage", "request", "temporary"]
Effect = Literal["unchanged", "better", "worse", "gone", "not_checked"]
TestStatus = Literal["done", "unclear", "unable"]
Strength = Literal["strong", "weak", "none"]


# A fault's path leaves these out: they are in no document.
NUMBER_TAG: Final = "(number)"
TEXT_TAG: Final = "(text)"


def _value_tag(value: object) -> str | None:
    if isinstance(value, str):
        return TEXT_TAG
    return NUMBER_TAG if isinstance(value, (int, float)) else None


ReadingValue = Annotated[
    Annotated[Number, Tag(NUMBER_TAG)] | Annotated[Line, Tag(TEXT_TAG)],
    Discriminator(_value_tag, custom_error_type="number_or_text_type", custom_error_message="neither number nor text"),
]
"""What was read: a number, or words where the instrument gives words (``open``, ``> 10 MΩ``)."""


class Money(Record):
    """An amount of one currency."""

    value: Number
    currency: Word


class Reading(Record):
    """One reading: where, value, unit, and which repeat it belongs to (from 1)."""

    where: Line = ""
    value: ReadingValue
    unit: Line = ""
    repeat: Annotated[int, Field(ge=1, le=1000), WHOLE] = 1


class ConditionMet(Record):
    """Whether one condition of a test's checklist was met."""

    id: Word
    met: Flag | None = None
    text: Line = ""


class Exemption(Record):
    """What lifts the swap guard from one line: a reference, or a value beyond a limit with its source."""

    reference: Line = ""
    value: Number | None = None
    limit: Number | None = None
    unit: Line = ""
    source: Line = ""


class Override(Record):
    """Why a part was fitted against the swap guard: author and reason."""

    by: Word
    reason: ReasonText
    at: Moment | None = None


class GuardWarning(Record):
    """One thing the swap guard said when the part was judged."""

    rule: Word
    weight: Word
    section: Line = ""
    share: Number | None = None


class GuardStamp(Record):
    """The evidence state a part was judged on: the results known then, and what the guard said."""

    at: Moment | None = None
    evidence: tuple[Word, ...] = ()
    map_version: Annotated[int, Field(ge=1, le=SAFE_INTEGER), WHOLE] | None = None
    warnings: tuple[GuardWarning, ...] = ()


class Entry(Record):
    """What every line of the timeline carries."""

    id: Word
    at: Moment | None = None
    by: Line = ""
    source: Source = "own"
    text: Text = ""


class PartEntry(Entry):
    """A part planned, fitted or removed, what for, and what changed."""

    kind: Literal["part"]
    part: Word
    position: Line = ""
    section: Line = ""
    stage: Stage = "fitted"
    purpose: Purpose = "diagnostic"
    exemption: Exemption | None = None
    effect: Effect | None = None
    found: Text = ""
    cost: Money | None = None
    labour_minutes: Minutes | None = None
    returnable: Flag | None = None
    needs_programming: Flag | None = None
    override: Override | None = None
    guard: GuardStamp | None = None
    reason: Text = ""


class ServiceEntry(Entry):
    """Work that fitted no part: a fluid change, an adjustment, a reset."""

    kind: Literal["service"]


class TestEntry(Entry):
    """A test run: ids of the case's map, or free words, with status, readings and conditions."""

    __test__ = False  # not a test case for pytest
    kind: Literal["test"]
    test: Word
    isolates: Line = ""
    outcome: Line = ""
    status: TestStatus = "done"
    why: Line = ""
    strength: Strength | None = None
    substitute: Line = ""
    readings: tuple[Reading, ...] = ()
    conditions: tuple[ConditionMet, ...] = ()
    kit: tuple[Word, ...] = ()
    repeat_of: Word | None = None
    supersedes: Word | None = None
    minutes: Minutes | None = None
    undone: Flag | None = None


class FindingEntry(Entry):
    """What was concluded, dated and signed: a section, not yet a part."""

    kind: Literal["finding"]
    sections: tuple[Word, ...] = ()


class NoteEntry(Entry):
    """Anything worth keeping in its place in time."""

    kind: Literal["note"]


TimelineEntry = Annotated[PartEntry | ServiceEntry | TestEntry | FindingEntry | NoteEntry, Field(discriminator="kind")]
