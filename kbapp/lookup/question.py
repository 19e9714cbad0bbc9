"""What is asked and what is answered: plain values between lookup, screens and commands."""

from dataclasses import dataclass, field

from kbapp.records.vocabulary import State, System


@dataclass(frozen=True, slots=True)
class Evidence:
    """A test that was run and what came of it: ids of a map or free words on both sides."""

    test: str
    outcome: str


@dataclass(frozen=True, slots=True)
class Question:
    """A question to the book: free words and any structured part.

    ``system``, ``states``, ``symptoms``, ``makes``, ``families``, ``generations``, ``engines``, ``codes`` and
    ``cause_sections`` in ``narrow`` restrict what matches (any value of a field, all fields); the same names outside
    ``narrow`` say what the job at hand looks like and only rank.
    """

    text: str = ""
    system: System | None = None
    symptoms: tuple[str, ...] = ()
    make: str = ""
    family: str = ""
    generation: str = ""
    engine: str = ""
    codes: tuple[str, ...] = ()
    parts_tried: tuple[str, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    narrow: tuple["Narrowing", ...] = ()
    not_case: str = ""
    typing: bool = False
    limit: int = 20

    @property
    def empty(self) -> bool:
        """Whether nothing at all is asked (narrowing alone counts as asking)."""
        structured = (
            self.system,
            self.symptoms,
            self.make,
            self.family,
            self.generation,
            self.engine,
            self.codes,
            self.parts_tried,
            self.evidence,
            self.narrow,
        )
        return not self.text.strip() and not any(structured)


FACETS = ("system", "state", "symptom", "make", "family", "generation", "engine", "code", "cause_section")
"""The fields one can narrow by, in the order they are shown."""


@dataclass(frozen=True, slots=True)
class Narrowing:
    """Keeps only cases whose facet ``field`` (one of ``FACETS``) has one of ``values``."""

    field: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reason:
    """One named part of a score. ``value`` may be negative; ``detail`` is what matched (a word, a family, a test)."""

    name: str
    value: float
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Passage:
    """A stretch of a case's text that matched: ``spans`` are (start, end) offsets of the matches in ``text``."""

    field: str
    text: str
    spans: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Hit:
    """A case that matches; ``score`` is the sum of the reasons' values."""

    id: str
    number: str
    score: float
    reasons: tuple[Reason, ...]
    state: State
    concern: str
    vehicle: str
    cause: str
    signed_here: bool
    passages: tuple[Passage, ...] = ()


@dataclass(frozen=True, slots=True)
class FacetCount:
    """How many of all matching cases have a value."""

    value: str
    count: int


@dataclass(frozen=True, slots=True)
class Answer:
    """Ranked cases, counts over all matches, and a better spelling where one is likely.

    ``total`` counts all matches; ``by_text_only`` is true while the index is being rebuilt and the database answered;
    ``loosen`` names the narrowing or word whose removal would find something when nothing matched fully. ``full``
    counts the matches that meet the whole rule of ``kbapp.lookup.match``; the others meet part of it and are listed
    because there are few. ``ambiguous`` are words of the question that mean several things in the trade (``esc``).
    """

    question: Question
    took_ms: float
    total: int
    hits: tuple[Hit, ...]
    facets: dict[str, tuple[FacetCount, ...]] = field(default_factory=dict)
    did_you_mean: str = ""
    by_text_only: bool = False
    loosen: tuple[str, ...] = ()
    full: int = 0
    ambiguous: tuple[str, ...] = ()
