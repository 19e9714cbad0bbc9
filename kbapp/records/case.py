"""The case document (``provebook-case/1``): what the screen edits, the book stores and a pack carries."""

from typing import Annotated, Final, Literal

from pydantic import AfterValidator, Field, StringConstraints

from kbapp.records.base import SAFE_INTEGER, WHOLE, Distance, Flag, Line, LongText, Record, RequiredText, Text, Word
from kbapp.records.moment import Moment
from kbapp.records.timeline import ConditionMet, Reading, TimelineEntry
from kbapp.records.vocabulary import State, System

CASE_FORMAT: Final = "provebook-case/1"


def _lower(text: str) -> str:
    return text.lower()


CaseId = Annotated[
    str,
    StringConstraints(pattern=r"^[0-9a-fA-F]{8}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{12}$"),
    AfterValidator(_lower),
    Field(json_schema_extra={"minLength": 36, "maxLength": 36}),
]
"""A UUID in its usual form, kept in lower case."""
Sha256 = Annotated[
    str,
    StringConstraints(pattern=r"^[0-9a-f]{64}$"),
    Field(json_schema_extra={"minLength": 64, "maxLength": 64}),
]
"""The SHA-256 of a file's bytes in 64 lower-case hexadecimal digits."""


class Shop(Record):
    """The shop a case comes from."""

    id: CaseId
    name: Line = ""


class Odometer(Record):
    """Distance driven."""

    value: Distance
    unit: Literal["km", "mi"] = "km"


class Vehicle(Record):
    """The vehicle, as far as it is known; nothing here identifies its owner."""

    make: Line = ""
    family: Line = ""
    platform: Line = ""
    generation: Line = ""
    model_year: Annotated[int, Field(ge=1900, le=2100), WHOLE] | None = None
    engine: Line = ""
    transmission: Line = ""
    odometer: Odometer | None = None


class Concern(Record):
    """What the customer complains of, in their words and in the trade's."""

    text: RequiredText
    system: System | None = None
    symptoms: tuple[Word, ...] = ()
    conditions: tuple[Word, ...] = ()
    began: Text = ""
    since: Moment | None = None
    last_good: Text = ""


class CodeRecord(Record):
    """A trouble code as it was read: code, status (stored, pending, …) and module."""

    code: Word
    status: Line = ""
    module: Line = ""


class MapReference(Record):
    """Which section map, and which version of it, the case was worked with."""

    id: Word
    version: Annotated[int, Field(ge=1, le=SAFE_INTEGER), WHOLE] | None = None


class Cause(Record):
    """Where the fault was found to lie. ``separated`` is false where several changes were made at once."""

    text: RequiredText
    section: Line = ""
    part: Line = ""
    position: Line = ""
    separated: Flag = True


class CorrectionPart(Record):
    """One part of the correction."""

    part: Word
    position: Line = ""
    number: Line = ""


class Correction(Record):
    """What was done about the cause."""

    text: Text = ""
    parts: tuple[CorrectionPart, ...] = ()
    services: tuple[Line, ...] = ()


class Retest(Record):
    """The same test again after the correction; ``repeats`` names the entry it repeats."""

    id: Word
    at: Moment | None = None
    by: Line = ""
    test: Line = ""
    repeats: Word | None = None
    outcome: Line = ""
    same_conditions: Flag | None = None
    conditions: tuple[ConditionMet, ...] = ()
    readings: tuple[Reading, ...] = ()
    result: Literal["passed", "failed", "unclear"] | None = None
    text: Text = ""


class FollowUp(Record):
    """A look back after the repair: due by date or distance, when done, and how it was."""

    due: Moment | None = None
    due_odometer: Odometer | None = None
    done: Moment | None = None
    result: Line = ""
    text: Text = ""


class SignOff(Record):
    """The lead's word on a repair. ``own_work`` says that the one who signs worked on it (a shop of one person)."""

    by: Word
    role: Line = ""
    at: Moment | None = None
    result: Literal["proved", "not_proved", "sent_back"] = "proved"
    own_work: Flag = False
    note: Text = ""


class Attachment(Record):
    """A file of the case, named by the SHA-256 of its bytes (``size`` in bytes).

    ``original`` names the photo it was made from, which the book keeps and no pack carries.
    """

    sha256: Sha256
    name: Line
    media_type: Line = ""
    size: Annotated[int, Field(ge=0, le=SAFE_INTEGER), WHOLE] | None = None
    caption: Line = ""
    entry: Word | None = None
    original: Sha256 | None = None


class Link(Record):
    """A tie to another case."""

    kind: Literal["same_as", "supersedes", "came_back_as"]
    case: CaseId


class Case(Record):
    """One vehicle with one concern, from phone triage to follow-up."""

    format: Literal["provebook-case/1"]
    id: CaseId
    number: Line = ""
    shop: Shop | None = None
    state: State
    opened: Moment | None = None
    vehicle_ref: Line = ""
    vehicle: Vehicle | None = None
    concern: Concern
    codes: tuple[CodeRecord, ...] = ()
    map: MapReference | None = None
    timeline: tuple[TimelineEntry, ...] = ()
    cause: Cause | None = None
    correction: Correction | None = None
    retest: tuple[Retest, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    sign_off: SignOff | None = None
    withdrawn_reason: Text = ""
    lesson: Text = ""
    notes: LongText = ""
    attachments: tuple[Attachment, ...] = ()
    links: tuple[Link, ...] = ()
