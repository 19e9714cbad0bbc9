"""The guard's rules that read the map: unsupported, contradicted, coverage, base unmet, conflict, cannot judge."""

from collections.abc import Iterator
from typing import Final

from kbapp.isolation.base_first import needed_by_sections, unmet
from kbapp.isolation.guard_warning import GuardWarning, Scene, Seen
from kbapp.isolation.picture import Picture
from kbapp.isolation.results import Evidence
from kbapp.records.section_map import NOT_ON_MAP

CONTRADICTED_BELOW: Final = 0.05
COVERAGE_ABOVE: Final = 0.05


def map_rules(scene: Scene) -> Iterator[GuardWarning]:
    """Yields what the map says about a part; a part it cannot place is said to be so, never passed in silence."""
    if scene.view is None or scene.model is None:
        yield GuardWarning("no_map")
        return
    if not scene.places:
        yield GuardWarning("cannot_judge")
    else:
        yield from _unsupported(scene, scene.view.evidence)
        yield from _contradicted(scene, scene.view.evidence)
        yield from _coverage(scene, scene.view)
        base = unmet(scene.view.evidence, needed_by_sections(scene.model.section_map, scene.sections))
        if base:
            yield GuardWarning("base_unmet", base=base, sections=tuple(section for section, _ in base))
    conflict = scene.view.conflict
    if conflict is not None:
        yield GuardWarning("conflict", test=conflict.repeat, minutes=conflict.repeat_minutes)


def results_against(scene: Scene, evidence: Evidence) -> tuple[Seen, ...]:
    """Returns the strong results against any of the part's sections, in their order."""
    return tuple(
        Seen(result.entries[-1], result.name, result.outcome, result.at)
        for result in evidence.tests
        if any(
            touch.direction == "against" and touch.strength == "strong" and touch.section in scene.sections
            for touch in result.touches
        )
    )


def untested_siblings(scene: Scene, view: Picture) -> tuple[str, ...]:
    """Returns the other sections over 5 % that no result names, the largest first."""
    names = (
        name
        for name in view.model.hypotheses
        if name not in (*scene.sections, NOT_ON_MAP)
        and view.share(name) > COVERAGE_ABOVE
        and not view.evidence.naming(name)
    )
    return tuple(sorted(names, key=lambda name: -view.share(name)))


def _unsupported(scene: Scene, evidence: Evidence) -> Iterator[GuardWarning]:
    if scene.entry.purpose != "diagnostic":
        return
    favoured = any(
        touch.direction == "for" and touch.section in scene.sections
        for result in evidence.tests
        for touch in result.touches
    )
    if not favoured:
        entry = scene.entry
        costly = scene.cost is not None and scene.cost > scene.settings.cost_limit
        bound = costly or entry.returnable is False or entry.needs_programming is True
        yield GuardWarning("unsupported", sections=scene.sections, reason_required=bound)


def _contradicted(scene: Scene, evidence: Evidence) -> Iterator[GuardWarning]:
    share = scene.share
    if share is not None and share < CONTRADICTED_BELOW and results_against(scene, evidence):
        yield GuardWarning("contradicted", sections=scene.sections)


def _coverage(scene: Scene, view: Picture) -> Iterator[GuardWarning]:
    siblings = untested_siblings(scene, view)
    if siblings:
        yield GuardWarning("coverage", sections=siblings)
