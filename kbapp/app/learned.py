"""What the book's proved cases teach a map: counted once a vehicle, read once a revision."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from kbapp.isolation.counting import learn
from kbapp.isolation.learning import Learned, add_up
from kbapp.isolation.model import build
from kbapp.ledger.groups import Groups
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.store.book import Book
from kbapp.store.reading import CaseFilter

MOST_CASES: Final = 2_000
"""How many proved cases of a map teach it at most, the latest changed first."""


@dataclass(frozen=True, slots=True)
class _Taught:
    """What one case teaches, and what tells whether another one is the same job, vehicle or concern."""

    case_id: str
    vehicle: str
    truth: str
    symptoms: frozenset[str]
    same_as: tuple[str, ...]
    learned: Learned


@dataclass(frozen=True, slots=True)
class LearnedSection:
    """One section: the map's own prior, the prior after the proved cases, and how many had their cause there."""

    section: str
    own: float
    learned: float
    cases: int


@dataclass(frozen=True, slots=True)
class LearnedTest:
    """One test: from how many proved cases its likelihoods were learnt."""

    test: str
    cases: int


@dataclass(frozen=True, slots=True)
class LearnedLine:
    """What the book taught one map: from how many proved cases, over all concerns."""

    map_id: str
    title: str
    cases: int
    sections: tuple[LearnedSection, ...]
    tests: tuple[LearnedTest, ...]


def learned_line(section_map: SectionMap, learned: Learned) -> LearnedLine:
    """Returns a map's own priors beside those after what was learned."""
    own, after = build(section_map), build(section_map, learned=learned)
    sections = tuple(
        LearnedSection(
            name, float(np.exp(own.log_prior[n])), float(np.exp(after.log_prior[n])), learned.causes.get(name, 0)
        )
        for n, name in enumerate(own.hypotheses)
    )
    counted = ((test.id, learned.cases_of(test.id)) for test in section_map.tests)
    tests = tuple(LearnedTest(name, cases) for name, cases in counted if cases)
    return LearnedLine(section_map.id, section_map.title, learned.cases(), sections, tests)


class LearnedFigures:
    """The learned figures of one book; what was counted of a case is kept until the case or the map changes."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._kept: dict[tuple[int, str], _Taught | None] = {}

    def of(self, section_map: SectionMap, symptoms: Iterable[str] = (), without: str = "") -> Learned:
        """Returns what proved cases teach a map, for the symptoms asked (all concerns without any).

        The case ``without`` never teaches itself. A vehicle, and a job recorded twice, counts once a cause.
        """
        asked = frozenset(symptom.casefold() for symptom in symptoms)
        taught = [
            one for one in self._all(section_map) if one.case_id != without and (not asked or asked & one.symptoms)
        ]
        same = Groups()
        for one in taught:
            for other in one.same_as:
                same.join(one.case_id, other)
        chosen: dict[tuple[str, str], Learned] = {}
        for one in taught:
            chosen.setdefault((one.vehicle or same.root(one.case_id), one.truth), one.learned)
        return add_up(chosen.values())

    def _all(self, section_map: SectionMap) -> list[_Taught]:
        wanted = CaseFilter(states=("proved",), map_id=section_map.id, signed_here=True)
        rows = self._book.list_cases(wanted, limit=MOST_CASES)
        fingerprint = section_map.model_dump_json()
        missing = [row.id for row in rows if (row.revision, fingerprint) not in self._kept]
        for stored in self._book.cases(missing):
            self._kept[stored.revision, fingerprint] = _taught(stored.case, section_map)
        found = (self._kept.get((row.revision, fingerprint)) for row in rows)
        return [one for one in found if one is not None]


def _taught(case: Case, section_map: SectionMap) -> _Taught | None:
    learned = learn([case], section_map)
    if not learned.causes:
        return None
    return _Taught(
        case.id,
        case.vehicle_ref,
        next(iter(learned.causes)),
        frozenset(symptom.casefold() for symptom in case.concern.symptoms),
        tuple(link.case for link in case.links if link.kind == "same_as"),
        learned,
    )
