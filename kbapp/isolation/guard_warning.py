"""What the swap guard says, as values: rules, weights, the scene it judges and the judgement."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.isolation.base_first import BaseState
from kbapp.isolation.exemptions import Exempt, Needs
from kbapp.isolation.model import Model
from kbapp.isolation.part_record import PartRecord
from kbapp.isolation.parts import PartPlace
from kbapp.isolation.picture import Picture
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import PartEntry

GuardRule = Literal[
    "unsupported", "contradicted", "repeat", "unchanged", "no_retest", "rarely_the_cause", "coverage", "base_unmet",
    "conflict", "cannot_judge", "no_map", "exemption_incomplete",
]  # fmt: skip
GuardWeight = Literal["strong", "before_another", "warning", "caution", "repeat_test", "note", "information"]

WEIGHTS: Final[dict[GuardRule, GuardWeight]] = {
    "contradicted": "strong",
    "repeat": "strong",
    "unchanged": "strong",
    "no_retest": "before_another",
    "base_unmet": "warning",
    "unsupported": "caution",
    "conflict": "repeat_test",
    "coverage": "note",
    "cannot_judge": "note",
    "no_map": "note",
    "exemption_incomplete": "note",
    "rarely_the_cause": "information",
}


@dataclass(frozen=True, slots=True)
class GuardSettings:
    """``cost_limit``: money for a part (with its labour) above which fitting it unsupported asks for a reason."""

    cost_limit: float = 250.0


@dataclass(frozen=True, slots=True)
class Seen:
    """A result against a part's sections: the line, its test and outcome, and when."""

    entry: str
    test: str
    outcome: str
    at: str


@dataclass(frozen=True, slots=True)
class GuardWarning:
    """One rule that speaks. The details a rule does not need stay empty.

    ``earlier``: the earlier line or case number; ``test``: the test to repeat; ``sections``: those the rule is about.
    """

    rule: GuardRule
    sections: tuple[str, ...] = ()
    reason_required: bool = False
    earlier: str = ""
    earlier_at: str = ""
    test: str = ""
    minutes: float | None = None
    base: tuple[tuple[str, BaseState], ...] = ()
    record: PartRecord | None = None
    needs: Needs = ""

    @property
    def weight(self) -> GuardWeight:
        """How heavily the rule weighs."""
        return WEIGHTS[self.rule]


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """What a part is judged on: the case up to its line, and nothing later.

    ``view`` and ``model`` are None for a case without a map; ``cost`` is None where nobody gives one.
    """

    case: Case
    index: int
    entry: PartEntry
    model: Model | None
    view: Picture | None
    places: tuple[PartPlace, ...]
    cost: float | None
    settings: GuardSettings
    history: Sequence[Case]
    proved: Sequence[Case]

    @property
    def sections(self) -> tuple[str, ...]:
        """The sections the part belongs to."""
        return tuple(place.section for place in self.places)

    @property
    def section_map(self) -> SectionMap | None:
        """The map, if the case has one."""
        return self.model.section_map if self.model is not None else None

    @property
    def share(self) -> float | None:
        """The share of the part's sections together."""
        return sum(map(self.view.share, self.sections)) if self.view is not None and self.places else None

    def last_part(self) -> tuple[int, PartEntry] | None:
        """Returns the last diagnostic part fitted before, with its position in the timeline."""
        for n in range(self.index - 1, -1, -1):
            entry = self.case.timeline[n]
            if isinstance(entry, PartEntry) and entry.stage == "fitted" and entry.purpose == "diagnostic":
                return n, entry
        return None


@dataclass(frozen=True, slots=True)
class Judgement:
    """What the guard says about one part on the evidence of its moment (``evidence``: the lines that counted).

    ``next_test`` is the best test to run instead, with its hands-on minutes; ``fit_now`` and ``test_first`` are
    expected costs of the whole repair, None where the map has no costs.
    """

    entry: str
    part: str
    position: str
    stage: str
    exempt: Exempt
    warnings: tuple[GuardWarning, ...] = ()
    evidence: tuple[str, ...] = ()
    sections: tuple[str, ...] = ()
    share: float | None = None
    against: tuple[Seen, ...] = ()
    untested: tuple[str, ...] = ()
    next_test: str = ""
    next_minutes: float | None = None
    fit_now: float | None = None
    test_first: float | None = None

    @property
    def reason_required(self) -> bool:
        """Whether fitting the part anyway asks for a reason."""
        return any(warning.reason_required for warning in self.warnings)
