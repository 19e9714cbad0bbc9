"""What is still on the vehicle, with or without a map."""

from kbapp.isolation.model import build
from kbapp.isolation.rigs import StillOn, still_on_vehicle
from kbapp.records.case import Case
from kbapp.records.section_map import MAP_FORMAT, SectionMap
from kbapp.records.timeline import TestEntry


def still_on(case: Case, section_map: SectionMap | None) -> tuple[StillOn, ...]:
    """Returns everything to take off before the vehicle is repaired or handed back, in the order it went on.

    A test in free words counts where its line says that it is not undone.
    """
    used = section_map or SectionMap(format=MAP_FORMAT, id="none", title="none", sections=(), not_on_map=1.0)
    model = build(used, case.concern.symptoms)
    known = still_on_vehicle(case, model)
    free = tuple(
        StillOn(entry.id, entry.test, entry.text or entry.test, 0.0)
        for entry in case.timeline
        if isinstance(entry, TestEntry)
        and entry.source == "own"
        and entry.undone is False
        and model.find_test(entry.test) is None
    )
    order = {entry.id: n for n, entry in enumerate(case.timeline)}
    return tuple(sorted((*known, *free), key=lambda item: order[item.entry]))
