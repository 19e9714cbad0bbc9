"""Counts what proved cases teach a map: causes by section, and outcomes of tests by the section found at fault."""

from collections import Counter
from collections.abc import Iterable

from kbapp.isolation.learning import Learned
from kbapp.isolation.model import build
from kbapp.isolation.picture import picture
from kbapp.isolation.replay import true_section
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap


def learn(cases: Iterable[Case], section_map: SectionMap, symptoms: Iterable[str] = ()) -> Learned:
    """Returns the counts of proved cases worked with a map, for the symptoms asked (all concerns without any).

    A vehicle counts once a cause. Only results at the map's own strength, run by the shop itself, teach a test's
    outcomes.
    """
    asked = {symptom.casefold() for symptom in symptoms}
    causes: Counter[str] = Counter()
    outcomes: dict[str, dict[str, Counter[str]]] = {}
    seen: set[tuple[str, str]] = set()
    for case in cases:
        truth = true_section(case, section_map)
        if truth is None or case.map is None or case.map.id != section_map.id or not _concerns(case, asked):
            continue
        vehicle = (case.vehicle_ref or case.id, truth)
        if vehicle in seen:
            continue
        seen.add(vehicle)
        causes[truth] += 1
        for result in picture(case, build(section_map)).evidence.tests:
            if not result.lowered:
                outcomes.setdefault(result.name, {}).setdefault(result.outcome, Counter())[truth] += 1
    return Learned(dict(causes), {t: {o: dict(c) for o, c in table.items()} for t, table in outcomes.items()})


def _concerns(case: Case, asked: set[str]) -> bool:
    return not asked or bool(asked & {symptom.casefold() for symptom in case.concern.symptoms})
