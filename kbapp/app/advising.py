"""Advice on a case: finds its section map, what the vehicle and the book already tell, and asks the engine."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from kbapp.app.settings import Settings
from kbapp.errors import EnvironmentFault, InputError
from kbapp.isolation.advice import Advice, advise
from kbapp.isolation.economics import Economics
from kbapp.isolation.guard import Guard, stamp
from kbapp.isolation.guard_warning import GuardSettings, Judgement
from kbapp.isolation.learning import Learned
from kbapp.isolation.model import build
from kbapp.isolation.ranking import RankedBy
from kbapp.maps.shipped import maps_for_symptom, maps_for_system, shipped_ids, shipped_map
from kbapp.records.case import Case
from kbapp.records.case_document import read_case
from kbapp.records.fault import Checked
from kbapp.records.map_document import read_map
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import GuardStamp
from kbapp.store.book import Book
from kbapp.store.reading import CaseFilter

MAP_SHELF = "map"
"""The kind under which a book keeps maps of the shop's own."""
MOST_PROVED = 2_000
"""How many proved cases the guard's statistics read at most, newest first."""


@dataclass(frozen=True, slots=True)
class Ask:
    """What the user wants to know: kit that is missing, and what ranks the tests (None: cost where there are costs).

    ``learned``: counts from the book's proved cases to reason with; None leaves the map's own figures.
    """

    missing: frozenset[str] = frozenset()
    by: RankedBy | None = None
    learned: Learned | None = None


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise EnvironmentFault("file_not_read", path=str(path), why=error.strerror or str(error)) from None


def case_from_file(path: Path) -> Case:
    """Returns the case in a file.

    Raises:
        DocumentFaults: every fault of the document.
    """
    return read_case(_bytes_of(path)).unwrap(path.name)


def check_map_file(path: Path) -> Checked[SectionMap]:
    """Returns the map in a file, or every fault of it."""
    return read_map(_bytes_of(path))


def map_from_file(path: Path) -> SectionMap:
    """Returns the map in a file.

    Raises:
        DocumentFaults: every fault of the document.
    """
    return check_map_file(path).unwrap(path.name)


def book_maps(book: Book | None) -> Mapping[str, SectionMap]:
    """Returns the maps a shop drew itself, by id; a damaged one is left out."""
    if book is None:
        return {}
    found = (read_map(item.document.encode()).value for item in book.all_shelved(MAP_SHELF))
    return {section_map.id: section_map for section_map in found if section_map is not None}


def find_map(map_id: str, book: Book | None = None, version: int | None = None) -> SectionMap:
    """Returns the shop's own map of an id, or the shipped one.

    With ``version`` the map as it was then, also where it was taken off the shelf since; where that version is not
    here, the one in force.

    Raises:
        InputError: ``map_unknown``.
    """
    own = book_maps(book).get(map_id)
    if version is None or (own is not None and own.version == version):
        return own or shipped_map(map_id)
    if map_id in shipped_ids() and shipped_map(map_id).version == version:
        return shipped_map(map_id)
    before = next((kept for kept in map_versions(map_id, book) if kept.version == version), None)
    return before or own or shipped_map(map_id)


def map_versions(map_id: str, book: Book | None) -> tuple[SectionMap, ...]:
    """Returns every version of a map of the shop's own, the latest first; a damaged one is left out."""
    if book is None:
        return ()
    found = (read_map(item.document.encode()).value for item in book.shelf_versions(MAP_SHELF, map_id))
    return tuple(section_map for section_map in found if section_map is not None)


def proposed_maps(case: Case) -> tuple[SectionMap, ...]:
    """Returns the shipped maps that fit the case's symptoms (else its system), the best first."""
    found: dict[str, SectionMap] = {}
    for symptom in case.concern.symptoms:
        found |= {
            section_map.id: section_map for section_map in maps_for_symptom(symptom) if section_map.id not in found
        }
    if not found and case.concern.system:
        return maps_for_system(case.concern.system)
    return tuple(found.values())


def map_of_case(case: Case, book: Book | None = None) -> SectionMap:
    """Returns the map a case names, or the one that fits its concern best.

    Raises:
        InputError: ``map_unknown``, or ``case_without_map`` where nothing fits.
    """
    if case.map is not None:
        return find_map(case.map.id, book, case.map.version)
    proposed = proposed_maps(case)
    if not proposed:
        raise InputError("case_without_map", case=case.number or case.id)
    return proposed[0]


def economics_of(settings: Settings) -> Economics:
    """Returns the shop's figures for expected costs."""
    return Economics(labour_per_minute=settings.labour_rate / 60)


def advise_case(case: Case, section_map: SectionMap, ask: Ask, settings: Settings, book: Book | None = None) -> Advice:
    """Returns the engine's advice, with the vehicle's earlier visits and the book's proved cases for the swap guard.

    Raises:
        DocumentFaults: the case was worked with another map.
    """
    return advise(
        case,
        section_map,
        missing=ask.missing,
        by=ask.by,
        learned=ask.learned,
        nested={inner.id: inner for inner in nested_maps(section_map, book)},
        settings=economics_of(settings),
        guard=GuardSettings(cost_limit=settings.guard_cost_limit),
        history=_history(case, book),
        proved=_proved(case, book),
    )


def nested_maps(section_map: SectionMap, book: Book | None) -> tuple[SectionMap, ...]:
    """Returns the maps that pinpoint inside a section of a map, as far as they are here."""
    own = book_maps(book)
    return tuple(
        own.get(item.map) or shipped_map(item.map)
        for item in section_map.nested
        if item.map in own or item.map in shipped_ids()
    )


def guard_of(case: Case, section_map: SectionMap | None, ask: Ask, settings: Settings, book: Book | None) -> Guard:
    """Returns the swap guard of a case; without a map it still judges by what was fitted before."""
    return Guard(
        case,
        build(section_map, case.concern.symptoms, ask.learned) if section_map is not None else None,
        GuardSettings(cost_limit=settings.guard_cost_limit),
        economics_of(settings),
        missing=ask.missing,
        history=_history(case, book),
        proved=_proved(case, book),
    )


def stamped(
    guard: Guard, case: Case, section_map: SectionMap | None, index: int, at: str
) -> tuple[Judgement, GuardStamp]:
    """Returns what the guard says about the part on a line, and the stamp that is kept with the line."""
    judgement = guard.judge(index)
    model = build(section_map, case.concern.symptoms) if section_map is not None else None
    return judgement, stamp(judgement, model, at)


def all_maps(book: Book | None) -> tuple[SectionMap, ...]:
    """Returns every map there is by title; one of the shop's own stands in the place of a shipped one of its id."""
    found = {name: shipped_map(name) for name in shipped_ids()} | dict(book_maps(book))
    return tuple(sorted(found.values(), key=lambda section_map: section_map.title.casefold()))


def _history(case: Case, book: Book | None) -> tuple[Case, ...]:
    if book is None or not case.vehicle_ref:
        return ()
    rows = book.list_cases(CaseFilter(vehicle_ref=case.vehicle_ref))
    return tuple(stored.case for stored in book.cases([row.id for row in rows if row.id != case.id]))


def _proved(case: Case, book: Book | None) -> tuple[Case, ...]:
    if book is None or case.concern.system is None:
        return ()
    wanted = CaseFilter(states=("proved",), systems=(case.concern.system,), signed_here=True)
    rows = book.list_cases(wanted, limit=MOST_PROVED)
    return tuple(stored.case for stored in book.cases([row.id for row in rows if row.id != case.id]))
