"""The section map (``provebook-map/1``): sections of a system, their parts, and the tests that split them."""

from typing import Annotated, Any, Final, Literal

from pydantic import BeforeValidator, Field

from kbapp.records.base import SAFE_INTEGER, WHOLE, Flag, Line, Minutes, Record, Text, Word
from kbapp.records.moment import Moment
from kbapp.records.timeline import Strength
from kbapp.records.vocabulary import System

MAP_FORMAT: Final = "provebook-map/1"
NOT_ON_MAP: Final = "not_on_map"
"""The hypothesis every map has: the fault lies where the map does not reach."""
ELSEWHERE: Final = "*"
"""Stands, in a likelihood table, for every section not named."""
RESERVED: Final = frozenset({NOT_ON_MAP, ELSEWHERE})

# P(first outcome) where the cause is in a section pointed to, and elsewhere. Trade judgement, the one table of it.
STRENGTHS: Final[dict[Strength, tuple[float, float]]] = {"strong": (0.9, 0.1), "weak": (0.7, 0.3), "none": (0.5, 0.5)}
DEFAULT_STRENGTH: Final[Strength] = "strong"
DEFAULT_CURE: Final = 0.98
DEFAULT_INCIDENTAL_CURE: Final = 0.0

TEST_KINDS: Final = (
    "block", "bypass", "disconnect", "compare", "load", "pressurise", "evacuate", "command", "swap", "run_without",
    "detect", "measure", "inspect",
)  # fmt: skip
"""The kinds of split the trade uses; a map may name another."""

Weight = Annotated[float, Field(strict=True, ge=0, le=1e9, allow_inf_nan=False)]
"""A weight of any scale, 0 or more."""
Chance = Annotated[float, Field(strict=True, ge=0, le=1, allow_inf_nan=False)]
"""A probability, 0 to 1."""
Amount = Annotated[float, Field(strict=True, ge=0, le=1e9, allow_inf_nan=False)]
"""Money in the shop's currency, 0 or more."""
Finite = Annotated[float, Field(strict=True, allow_inf_nan=False)]


def _as_list(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


Words = Annotated[tuple[Word, ...], BeforeValidator(_as_list, json_schema_input_type=Word | tuple[Word, ...])]
"""A list of names; a single name may stand without the list."""


class MapPart(Record):
    """A part of a section. ``share``: weight among the section's parts; one part id may stand in several sections."""

    id: Word
    name: Word
    share: Weight | None = None
    cost: Amount | None = None
    labour_minutes: Minutes | None = None
    cure: Chance | None = None
    incidental_cure: Chance | None = None
    also_called: tuple[Word, ...] = ()


class MapSection(Record):
    """A section. ``prior``: a weight; ``feeds``: the sections it leads to; ``good_first``: those to prove first."""

    id: Word
    name: Word
    prior: Weight
    feeds: tuple[Word, ...] = ()
    parts: tuple[MapPart, ...] = ()
    good_first: tuple[Word, ...] = ()
    cost: Amount | None = None
    labour_minutes: Minutes | None = None
    note: Text = ""


class MapOutcome(Record):
    """One outcome of a test: short form (``points_to`` on the first) or P(outcome) of its own per section."""

    id: Word
    name: Word
    points_to: tuple[Word, ...] | None = None
    likelihood: dict[Word, Chance] | None = None


class MapCondition(Record):
    """A line of a test's checklist: not met, it lowers the strength of the result one step."""

    id: Word
    name: Word


class ReadingLimit(Record):
    """A limit of a reading, with its source (the maker's figure, a measured good vehicle, common practice)."""

    place: Line = ""
    low: Finite | None = None
    high: Finite | None = None
    source: Line = ""


class MapReadings(Record):
    """What a test reads. ``resolution`` of the instrument; ``margin`` beyond which one place stands out."""

    places: tuple[Word, ...] = ()
    unit: Line = ""
    resolution: Amount | None = None
    margin: Amount | None = None
    by_axle: Flag = False
    limits: tuple[ReadingLimit, ...] = ()


class Substitute(Record):
    """Another way to make the same split, with other kit and less strength. Minutes not given are those of its test."""

    id: Word
    name: Word
    kit: tuple[Word, ...] = ()
    rig: Line = ""
    setup_minutes: Minutes | None = None
    run_minutes: Minutes | None = None
    wait_minutes: Minutes | None = None
    restore_minutes: Minutes | None = None
    strength: Strength = "weak"
    cautions: tuple[Word, ...] = ()
    steps: tuple[Text, ...] = ()
    undo: Words = ()


class MapTest(Record):
    """A test that splits the map.

    Minutes: set-up (shared by tests of one ``rig``), run, wait (elapsed, not labour), restore. ``group`` names a shared
    source of error. ``undo`` names what it leaves on the vehicle. ``good_first``: sections to prove good before it.
    ``combine``: with two faults, the first outcome shows for ``any`` of them, or only where ``all`` are pointed to (a
    branch is disconnected and the trouble goes).
    """

    id: Word
    name: Word
    kind: Line = ""
    kit: tuple[Word, ...] = ()
    rig: Line = ""
    setup_minutes: Minutes = 0.0
    run_minutes: Minutes = 0.0
    wait_minutes: Minutes = 0.0
    restore_minutes: Minutes = 0.0
    strength: Strength | None = None
    outcomes: tuple[MapOutcome, ...]
    group: Line = ""
    combine: Literal["any", "all"] = "any"
    prerequisites: tuple[Line, ...] = ()
    good_first: tuple[Word, ...] = ()
    conditions: tuple[MapCondition, ...] = ()
    cautions: tuple[Word, ...] = ()
    qualification: Line = ""
    destructive: Flag = False
    steps: tuple[Text, ...] = ()
    readings: MapReadings | None = None
    repeats: Annotated[int, Field(ge=1, le=100), WHOLE] = 1
    substitutes: tuple[Substitute, ...] = ()
    undo: Words = ()
    note: Text = ""

    def outcome(self, outcome_id: str) -> MapOutcome | None:
        """Returns the outcome of that id, or None."""
        return next((outcome for outcome in self.outcomes if outcome.id == outcome_id), None)

    def substitute(self, substitute_id: str) -> Substitute | None:
        """Returns the substitute of that id or name, or None."""
        return next((s for s in self.substitutes if substitute_id in (s.id, s.name)), None)


class NestedMap(Record):
    """The map that pinpoints inside a section."""

    section: Word
    map: Word


class MapChange(Record):
    """What changed with a version."""

    version: Annotated[int, Field(ge=1, le=SAFE_INTEGER), WHOLE]
    at: Moment | None = None
    by: Line = ""
    text: Text = ""


class SectionMap(Record):
    """A section map. ``not_on_map`` is the weight of "not on this map", on the scale of the sections' priors.

    ``priors_by_symptom`` gives other weights for single concerns: symptom → section id (or ``not_on_map``) → weight.
    """

    format: Literal["provebook-map/1"]
    id: Word
    version: Annotated[int, Field(ge=1, le=SAFE_INTEGER), WHOLE] = 1
    title: Word
    system: System | None = None
    symptoms: tuple[Word, ...] = ()
    families: tuple[Word, ...] = ()
    cautions: tuple[Word, ...] = ()
    prerequisites: tuple[Line, ...] = ()
    good_first: tuple[Word, ...] = ()
    sections: tuple[MapSection, ...]
    not_on_map: Weight
    priors_by_symptom: dict[Word, dict[Word, Weight]] = {}
    tests: tuple[MapTest, ...] = ()
    nested: tuple[NestedMap, ...] = ()
    source: Text = ""
    notes: Text = ""
    history: tuple[MapChange, ...] = ()

    def section(self, section_id: str) -> MapSection | None:
        """Returns the section of that id, or None."""
        return next((section for section in self.sections if section.id == section_id), None)

    def test(self, test_id: str) -> MapTest | None:
        """Returns the test of that id, or None."""
        return next((test for test in self.tests if test.id == test_id), None)

    def hypotheses(self) -> tuple[str, ...]:
        """Returns the section ids in the map's order, with ``not_on_map`` last."""
        return (*(section.id for section in self.sections), NOT_ON_MAP)
