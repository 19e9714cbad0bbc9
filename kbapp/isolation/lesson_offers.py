"""What a learner can choose in a lesson: the tests and parts of the map, or those of the record and some decoys."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from kbapp.isolation.model import Model
from kbapp.isolation.parts import same_part
from kbapp.isolation.replay import recorded_results, true_section
from kbapp.records.case import Case
from kbapp.records.section_map import NOT_ON_MAP, MapSection
from kbapp.records.timeline import PartEntry, TestEntry, TimelineEntry


@dataclass(frozen=True, slots=True)
class TestOffer:
    """A test on offer. The answer is in it: ``outcome`` and where that comes from; ``entries`` record it."""

    __test__ = False  # not a test case for pytest
    id: str
    name: str
    minutes: float
    outcome: str
    source: Literal["record", "map", "unknown"]
    entries: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PartOffer:
    """A part on offer; ``cures`` is the answer. ``not_on_map`` stands for saying that the map does not reach."""

    id: str
    name: str
    section: str
    cost: float | None
    minutes: float
    cures: bool
    source: Literal["record", "map", "unknown"]
    entries: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Offers:
    """All tests and parts on offer, by name: the order tells nothing."""

    tests: tuple[TestOffer, ...]
    parts: tuple[PartOffer, ...]


def _offers(tests: Iterable[TestOffer], parts: Iterable[PartOffer]) -> Offers:
    return Offers(
        tuple(sorted(tests, key=lambda offer: (offer.name.casefold(), offer.id))),
        tuple(sorted(parts, key=lambda offer: (offer.id == NOT_ON_MAP, offer.name.casefold(), offer.id))),
    )


def map_offers(case: Case, model: Model, triage: Sequence[TimelineEntry]) -> Offers:
    """Returns every test and part of the map; a test the case never ran falls as it most likely does with its fault."""
    return _offers(_map_tests(case, model, triage), _map_parts(case, model))


def _map_tests(case: Case, model: Model, triage: Sequence[TimelineEntry]) -> Iterator[TestOffer]:
    truth = true_section(case, model.section_map) or NOT_ON_MAP
    recorded, told = recorded_results(case, model), {entry.id for entry in triage}
    for test in model.section_map.tests:
        known = recorded.get(test.id)
        if known is not None and told.intersection(known.entries):
            continue
        minutes = test.setup_minutes + test.run_minutes + test.restore_minutes
        if known is not None:
            yield TestOffer(test.id, test.name, minutes, known.outcome, "record", known.entries)
        else:
            likeliest = int(model.tables[test.id][:, model.index[truth]].argmax())
            yield TestOffer(test.id, test.name, minutes, test.outcomes[likeliest].id, "map")


def _map_parts(case: Case, model: Model) -> Iterator[PartOffer]:
    truth = true_section(case, model.section_map)
    cause = case.cause.part if case.cause is not None else ""
    for section in model.section_map.sections:
        named = [part for part in section.parts if cause and same_part(part.name, cause, model.section_map)]
        for part in section.parts:
            cures = section.id == truth and (not named or part in named)
            yield PartOffer(
                f"{section.id}/{part.id}", part.name, section.id, part.cost, part.labour_minutes or 0.0, cures,
                *_recorded_part(case, part.name, model, section),
            )  # fmt: skip
        if not section.parts:
            yield PartOffer(
                section.id, section.name, section.id, section.cost, section.labour_minutes or 0.0,
                section.id == truth, *_recorded_part(case, section.name, model, section),
            )  # fmt: skip
    yield PartOffer(NOT_ON_MAP, "", "", 0.0, 0.0, truth == NOT_ON_MAP, "record")


def _recorded_part(
    case: Case, name: str, model: Model, section: MapSection
) -> tuple[Literal["record", "map"], tuple[str, ...]]:
    entries = tuple(
        entry.id
        for entry in case.timeline
        if isinstance(entry, PartEntry)
        and entry.stage == "fitted"
        and same_part(entry.part, name, model.section_map)
        and entry.section in ("", section.id)
    )
    return ("record" if entries else "map"), entries


def free_offers(case: Case, triage: Sequence[TimelineEntry], decoys: Iterable[str]) -> Offers:
    """Returns the tests and parts of the record from the triage on, what cured, and decoys that do not."""
    told = {entry.id for entry in triage}
    later = [entry for entry in case.timeline if entry.id not in told]
    parts = {offer.name.casefold(): offer for offer in _free_parts(case, later)}
    for name in decoys:
        parts.setdefault(name.casefold(), PartOffer(name, name, "", None, 0.0, cures=False, source="unknown"))
    return _offers(_free_tests(later), parts.values())


def _free_tests(later: Iterable[TimelineEntry]) -> Iterator[TestOffer]:
    seen: set[str] = set()
    for entry in later:
        if isinstance(entry, TestEntry) and entry.status == "done" and entry.outcome and entry.test not in seen:
            seen.add(entry.test)
            yield TestOffer(entry.test, entry.test, entry.minutes or 0.0, entry.outcome, "record", (entry.id,))


def _free_parts(case: Case, later: Iterable[TimelineEntry]) -> Iterator[PartOffer]:
    """Yields the parts of the record; where none of them cured, what the cause names stands for the correction."""
    cured = False
    for entry in later:
        if isinstance(entry, PartEntry) and entry.stage == "fitted" and entry.purpose == "diagnostic":
            cures = entry.effect == "gone"
            cured = cured or cures
            cost = entry.cost.value if entry.cost is not None else None
            minutes = entry.labour_minutes or 0.0
            yield PartOffer(entry.part, entry.part, entry.section, cost, minutes, cures, "record", (entry.id,))
    if not cured and case.cause is not None:
        name = case.cause.part or case.cause.section or case.cause.text
        yield PartOffer(name, name, case.cause.section, None, 0.0, cures=True, source="record")
