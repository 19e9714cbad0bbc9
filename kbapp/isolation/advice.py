"""The one way into the engine: advice on a case by a section map, with every reason as data."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kbapp.isolation.advice_dict import as_plain
from kbapp.isolation.conflict import Conflict
from kbapp.isolation.contributions import Contribution, contributions
from kbapp.isolation.economics import Economics
from kbapp.isolation.fault_sets import FaultSet, two_fault_posterior
from kbapp.isolation.gaps import Gap, gaps
from kbapp.isolation.guard import Guard
from kbapp.isolation.guard_warning import GuardSettings, Judgement
from kbapp.isolation.learning import Learned
from kbapp.isolation.mismatch import map_mismatch
from kbapp.isolation.model import build
from kbapp.isolation.picture import Picture, picture, ranking
from kbapp.isolation.pinpoint import Pinpoint, pinpoint
from kbapp.isolation.ranking import RankedBy, Ranking
from kbapp.isolation.repaired import repair_index
from kbapp.isolation.results import Evidence
from kbapp.isolation.rigs import StillOn, still_on_vehicle
from kbapp.records.case import Case
from kbapp.records.fault import DocumentFaults, Fault
from kbapp.records.section_map import SectionMap


@dataclass(frozen=True, slots=True, eq=False)
class Advice:
    """Everything the engine says about a case.

    ``picture``: shares, states and the evidence behind them; ``contributions``: ln likelihood ratios by leave-one-out;
    ``two_faults``: offered only where no single section explains the strong results; ``pinpoint``: shares of parts and
    nested maps; ``faults``: where the case does not fit the map, which left those lines out.
    """

    case: Case
    section_map: SectionMap
    picture: Picture
    gaps: tuple[Gap, ...]
    contributions: tuple[Contribution, ...]
    ranking: Ranking
    guard: tuple[Judgement, ...]
    two_faults: tuple[FaultSet, ...]
    pinpoint: tuple[Pinpoint, ...]
    still_on_vehicle: tuple[StillOn, ...]
    faults: tuple[Fault, ...]

    @property
    def conflict(self) -> Conflict | None:
        """Why no single section explains the strong results, None where one does."""
        return self.picture.conflict

    @property
    def repaired(self) -> bool:
        """Whether a repair stands in the timeline: the picture is the one before it."""
        return repair_index(self.case) is not None

    @property
    def evidence(self) -> Evidence:
        """What counted and what did not."""
        return self.picture.evidence

    def as_dict(self) -> dict[str, Any]:
        """Returns the advice as JSON values (``advise --json``); the guard's ``text`` is left to the catalogue."""
        return as_plain(self)


def advise(
    case: Case,
    section_map: SectionMap,
    *,
    missing: frozenset[str] = frozenset(),
    by: RankedBy | None = None,
    learned: Learned | None = None,
    nested: Mapping[str, SectionMap] | None = None,
    settings: Economics | None = None,
    guard: GuardSettings | None = None,
    history: Sequence[Case] = (),
    proved: Sequence[Case] = (),
) -> Advice:
    """Returns the advice on a case by a map.

    ``missing``: kit the shop lacks; ``by``: what ranks the tests (cost where the map has costs); ``learned``: counts
    from proved cases; ``nested``: maps by id, for pinpointing inside a section; ``history``: earlier cases of the
    vehicle and
    ``proved``: cases the statistics may use, both for the guard.

    Raises:
        DocumentFaults: the case was worked with another map.
    """
    mismatch = map_mismatch(case, section_map)
    if mismatch:
        raise DocumentFaults(mismatch, case.number or case.id)
    economics = settings or Economics()
    model = build(section_map, case.concern.symptoms, learned)
    view = picture(case, model)
    judge = Guard(case, model, guard or GuardSettings(), economics, missing=missing, history=history, proved=proved)
    return Advice(
        case=case,
        section_map=section_map,
        picture=view,
        gaps=gaps(model, view.evidence, view.shares),
        contributions=contributions(model, view.evidence),
        ranking=ranking(view, case, economics, missing, by),
        guard=judge.judge_all(),
        two_faults=two_fault_posterior(model, view.evidence.results) if view.conflict is not None else (),
        pinpoint=pinpoint(view, case, nested or {}),
        still_on_vehicle=still_on_vehicle(case, model),
        faults=view.evidence.mismatches,
    )
