"""What to do next on one open case: the Bench's short form of the advice, without the swap guard's statistics."""

from dataclasses import dataclass

from kbapp.app.advising import Ask, economics_of, find_map, proposed_maps
from kbapp.app.settings import Settings
from kbapp.errors import InputError
from kbapp.isolation.model import build
from kbapp.isolation.picture import Picture, picture, ranking
from kbapp.isolation.ranking import NextTest
from kbapp.isolation.states import SectionState
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.store.book import Book


@dataclass(frozen=True, slots=True)
class Possible:
    """A section that is still possible, with its share and state."""

    section: str
    share: float
    state: SectionState


@dataclass(frozen=True, slots=True, eq=False)
class NextStep:
    """What to do next on a case. ``section_map`` is None while it is worked without one; ``proposed`` may fit then."""

    case: Case
    section_map: SectionMap | None
    proposed: tuple[SectionMap, ...] = ()
    possible: tuple[Possible, ...] = ()
    test: NextTest | None = None
    conflict: bool = False


def map_in_hand(case: Case, book: Book) -> SectionMap | None:
    """Returns the map a case is worked with; None where it names none, or one that is not here."""
    if case.map is None:
        return None
    try:
        return find_map(case.map.id, book, case.map.version)
    except InputError:
        return None  # drawn by another shop


def next_step(case: Case, section_map: SectionMap | None, ask: Ask, settings: Settings) -> NextStep:
    """Returns what to do next on a case by its map; without a map, which maps would fit."""
    if section_map is None:
        return NextStep(case, None, proposed_maps(case))
    view = picture(case, build(section_map, case.concern.symptoms, ask.learned))
    ranked = ranking(view, case, economics_of(settings), ask.missing, ask.by)
    return NextStep(
        case,
        section_map,
        possible=_possible(view),
        test=ranked.tests[0] if ranked.tests else None,
        conflict=view.conflict is not None,
    )


def _possible(view: Picture) -> tuple[Possible, ...]:
    names = view.model.hypotheses
    order = sorted(range(len(names)), key=lambda n: -float(view.shares[n]))
    return tuple(Possible(names[n], float(view.shares[n]), view.states[n]) for n in order)
