"""Hide the answer: a proved case played again from the triage on; each test and part is the learner's choice."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeVar

from kbapp.isolation.economics import Economics
from kbapp.isolation.evidence import gather
from kbapp.isolation.following import Expectation, expectation
from kbapp.isolation.lesson_offers import Offers, PartOffer, TestOffer, free_offers, map_offers
from kbapp.isolation.model import Model, build
from kbapp.isolation.parts import places_of
from kbapp.isolation.posterior import shares
from kbapp.isolation.repaired import repair_index
from kbapp.isolation.replay import Effort, effort_of, recorded_results, true_section
from kbapp.isolation.results import Result, cure_chances, result_of_part, result_of_test
from kbapp.records.case import Case
from kbapp.records.likelihood import stated_strength
from kbapp.records.section_map import NOT_ON_MAP, SectionMap
from kbapp.records.timeline import PartEntry, TestEntry, TimelineEntry

Offer = TypeVar("Offer", TestOffer, PartOffer)
Source = Literal["record", "map", "unknown"]
"""Where an outcome comes from: the case's record, the map (likeliest with this fault), or nowhere."""


@dataclass(frozen=True, slots=True)
class Move:
    """One choice of the learner and what came of it. ``outcome`` is blank where nobody knows.

    ``kind``: a test, a part, or the word that the fault is not on the map; ``cured``: the concern is gone (or the word
    was right); ``detail``: readings and what was found, as recorded.
    """

    kind: Literal["test", "part"]
    offer: str
    name: str
    outcome: str
    source: Source
    cured: bool
    minutes: float
    cost: float
    entries: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Comparison:
    """The learner beside the record (from the triage on) and, with a map, beside the advice from the same start."""

    learner: Effort
    record: Effort
    advised: Expectation | None


@dataclass(frozen=True, slots=True, eq=False)
class Lesson:
    """A case being played. Every choice makes a new lesson; earlier ones stay as they were.

    ``triage``: what is told at the start; ``tests`` and ``parts``: what can be chosen; ``moves``: what was chosen.
    """

    case: Case
    offers: Offers
    triage: tuple[TimelineEntry, ...]
    economics: Economics
    model: Model | None = None
    moves: tuple[Move, ...] = ()

    @property
    def solved(self) -> bool:
        """Whether the fault was found."""
        return any(move.cured for move in self.moves)

    @property
    def tests(self) -> tuple[TestOffer, ...]:
        """The tests still to choose from."""
        taken = {move.offer for move in self.moves if move.kind == "test"}
        return tuple(offer for offer in self.offers.tests if offer.id not in taken)

    @property
    def parts(self) -> tuple[PartOffer, ...]:
        """The parts still to choose from."""
        taken = {move.offer for move in self.moves if move.kind == "part"}
        return tuple(offer for offer in self.offers.parts if offer.id not in taken)

    def run(self, test: str) -> "Lesson":
        """Returns the lesson after a test was run.

        Raises:
            KeyError: the test is not on offer (any more).
        """
        offer = _pick(self.tests, test)
        minutes = offer.minutes
        move = Move(
            "test", offer.id, offer.name, offer.outcome, offer.source, cured=False, minutes=minutes,
            cost=minutes * self.economics.labour_per_minute, entries=offer.entries,
        )  # fmt: skip
        return replace(self, moves=(*self.moves, move))

    def fit(self, part: str) -> "Lesson":
        """Returns the lesson after a part was fitted (or ``not_on_map`` said).

        Raises:
            KeyError: the part is not on offer (any more).
        """
        offer = _pick(self.parts, part)
        outcome = "gone" if offer.cures else "unchanged"
        labour = offer.minutes * self.economics.labour_per_minute
        move = Move(
            "part", offer.id, offer.name, outcome, offer.source, cured=offer.cures, minutes=offer.minutes,
            cost=(offer.cost or 0.0) + labour, entries=offer.entries,
        )  # fmt: skip
        return replace(self, moves=(*self.moves, move))

    def known(self) -> tuple[tuple[str, float], ...]:
        """Returns the sections with their shares after the learner's choices, the largest first; none without a map."""
        if self.model is None:
            return ()
        found = shares(self.model, self._results(self.model))
        return tuple(sorted(zip(self.model.hypotheses, map(float, found), strict=True), key=lambda pair: -pair[1]))

    def compare(self) -> Comparison:
        """Returns what the learner spent so far beside the record and the advice."""
        vain = sum(move.kind == "part" and not move.cured for move in self.moves)
        learner = Effort(sum(m.minutes for m in self.moves), sum(m.cost for m in self.moves), vain)
        end = repair_index(self.case)
        told = {entry.id for entry in self.triage}
        done = [e for e in self.case.timeline[: None if end is None else end + 1] if e.id not in told]
        return Comparison(learner, _effort(done, self.model, self.economics), self._advised())

    def _advised(self) -> Expectation | None:
        truth = true_section(self.case, self.model.section_map) if self.model is not None else None
        if self.model is None or truth is None or truth == NOT_ON_MAP:
            return None
        start = tuple(_told(self.case, self.model, self.triage))
        return expectation(self.model, truth, recorded_results(self.case, self.model), self.economics, start)

    def _results(self, model: Model) -> list[Result]:
        recorded = recorded_results(self.case, model)
        out = list(_told(self.case, model, self.triage))
        seen = {result.name for result in out}
        for move in self.moves:
            if move.kind == "test" and move.offer not in seen:
                out += _result(model, move, recorded.get(move.offer))
            elif move.kind == "part" and not move.cured and move.offer != NOT_ON_MAP:
                out.append(_in_vain(model, _pick(self.offers.parts, move.offer)))
        return out


def start_lesson(
    case: Case, section_map: SectionMap | None, economics: Economics | None = None, decoys: Iterable[str] = ()
) -> Lesson | None:
    """Returns the lesson of a proved case, None where it is not proved or offers nothing to choose.

    With a map that knows the cause, every test and part of the map is on offer; otherwise those of the record, and
    ``decoys``: parts that were the cause in other cases.
    """
    if case.state != "proved" or case.cause is None:
        return None
    triage = _triage(case)
    if section_map is not None and true_section(case, section_map) is not None:
        model = build(section_map, case.concern.symptoms)
        return Lesson(case, map_offers(case, model, triage), triage, economics or Economics(), model)
    offers = free_offers(case, triage, decoys)
    return Lesson(case, offers, triage, economics or Economics()) if offers.tests else None


def _triage(case: Case) -> tuple[TimelineEntry, ...]:
    """Returns what came in with the vehicle: the lines before the shop's own first test or part."""
    own = (
        n
        for n, entry in enumerate(case.timeline)
        if isinstance(entry, (TestEntry, PartEntry)) and entry.source == "own"
    )
    return case.timeline[: next(own, len(case.timeline))]


def _pick(offers: Sequence[Offer], wanted: str) -> Offer:
    for offer in offers:
        if offer.id == wanted:
            return offer
    raise KeyError(wanted)


def _told(case: Case, model: Model, triage: Sequence[TimelineEntry]) -> Iterable[Result]:
    return gather(case.model_copy(update={"timeline": tuple(triage), "retest": ()}), model).results


def _result(model: Model, move: Move, recorded: Result | None) -> list[Result]:
    if recorded is not None:
        return [recorded]
    test = model.section_map.test(move.offer)
    outcome = next((o for o in test.outcomes if o.id == move.outcome), None) if test is not None else None
    if test is None or outcome is None:
        return []
    return [result_of_test(model, test, outcome, stated_strength(test))]


def _in_vain(model: Model, offer: PartOffer) -> Result:
    entry = PartEntry(id="m", kind="part", part=offer.name, section=offer.section)
    return result_of_part(model, offer.name, cure_chances(model, places_of(model.section_map, entry)))


def _effort(entries: Sequence[TimelineEntry], model: Model | None, economics: Economics) -> Effort:
    if model is not None:
        return effort_of(entries, model, economics)
    minutes = cost = 0.0
    vain = 0
    for entry in entries:
        if isinstance(entry, TestEntry):
            minutes += entry.minutes or 0.0
        elif isinstance(entry, PartEntry) and entry.stage == "fitted" and entry.purpose == "diagnostic":
            minutes += entry.labour_minutes or 0.0
            cost += entry.cost.value if entry.cost is not None else 0.0
            vain += entry.effect in ("unchanged", "worse")
    return Effort(minutes, cost + minutes * economics.labour_per_minute, vain)
