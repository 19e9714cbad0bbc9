"""The picture at one moment of a case: evidence, shares, states, conflict and the tests that could follow."""

from collections.abc import Iterable
from dataclasses import dataclass

from kbapp.isolation.arrays import Floats
from kbapp.isolation.candidates import choices
from kbapp.isolation.conflict import Conflict, find_conflict
from kbapp.isolation.economics import Economics
from kbapp.isolation.evidence import gather
from kbapp.isolation.model import Model
from kbapp.isolation.posterior import shares
from kbapp.isolation.ranking import RankedBy, Ranking, rank
from kbapp.isolation.results import Evidence
from kbapp.isolation.rigs import standing_rigs
from kbapp.isolation.states import SectionState, states
from kbapp.records.case import Case


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """What the lines up to one moment say. ``shares`` and ``states`` are in the model's order."""

    model: Model
    evidence: Evidence
    shares: Floats
    states: tuple[SectionState, ...]
    conflict: Conflict | None

    def share(self, section: str) -> float:
        """Returns the share of a section."""
        return float(self.shares[self.model.index[section]])

    def state(self, section: str) -> SectionState:
        """Returns the state of a section."""
        return self.states[self.model.index[section]]

    def evidence_key(self) -> tuple[str, ...]:
        """Returns the ids of the lines that count: while they are the same, nothing new is to be said."""
        return tuple(entry for result in self.evidence.results for entry in result.entries)


def picture(case: Case, model: Model, upto: int | None = None) -> Picture:
    """Returns the picture after the first ``upto`` lines of the timeline (all without it)."""
    evidence = gather(case, model, upto)
    found = shares(model, evidence.results)
    return Picture(model, evidence, found, states(model, evidence, found), find_conflict(model, evidence))


def ranking(
    view: Picture, case: Case, economics: Economics, missing: Iterable[str] = (), by: RankedBy | None = None
) -> Ranking:
    """Returns the tests that could follow, for the rigs that stand in the case and the kit the shop lacks."""
    options = choices(view.model, view.evidence, missing, standing_rigs(case, view.model))
    return rank(view.model, view.shares, options, economics, by)
