"""What stands or stays on the vehicle: rigs that save the next set-up, and things still to undo."""

from collections.abc import Iterator
from dataclasses import dataclass

from kbapp.isolation.model import Model
from kbapp.records.case import Case
from kbapp.records.section_map import MapTest
from kbapp.records.timeline import PartEntry, TestEntry


@dataclass(frozen=True, slots=True)
class StillOn:
    """Something a test or a temporary part left on the vehicle, and the minutes to restore it."""

    entry: str
    name: str
    what: str
    restore_minutes: float


def standing_rigs(case: Case, model: Model) -> frozenset[str]:
    """Returns the rigs that the case's own tests have set up and not yet undone."""
    standing: dict[str, bool] = {}
    for entry, test in _own_tests(case, model):
        rig = _rig(test, entry.substitute)
        if rig:
            standing[rig] = entry.undone is not True
    return frozenset(rig for rig, stands in standing.items() if stands)


def still_on_vehicle(case: Case, model: Model) -> tuple[StillOn, ...]:
    """Returns everything to take off before the vehicle is repaired or handed back, in the order it went on."""
    out = []
    for entry, test in _own_tests(case, model):
        if entry.undone is True:
            continue
        substitute = test.substitute(entry.substitute) if entry.substitute else None
        undo = substitute.undo if substitute is not None else test.undo
        minutes = test.restore_minutes
        if substitute is not None and substitute.restore_minutes is not None:
            minutes = substitute.restore_minutes
        out += [StillOn(entry.id, test.id, what, minutes if not n else 0.0) for n, what in enumerate(undo)]
    return (*out, *_temporary_parts(case))


def _own_tests(case: Case, model: Model) -> Iterator[tuple[TestEntry, MapTest]]:
    """Yields own tests that were set up, whatever came of them: an unclear test leaves its plug in too."""
    for entry in case.timeline:
        if isinstance(entry, TestEntry) and entry.source == "own" and entry.status != "unable":
            test = model.find_test(entry.test)
            if test is not None:
                yield entry, test


def _rig(test: MapTest, substitute: str) -> str:
    if not substitute:
        return test.rig
    known = test.substitute(substitute)
    return known.rig if known is not None else ""


def _temporary_parts(case: Case) -> Iterator[StillOn]:
    on: dict[tuple[str, str], StillOn] = {}
    for entry in case.timeline:
        if isinstance(entry, PartEntry):
            key = entry.part.casefold(), entry.position.casefold()
            if entry.stage == "fitted" and entry.purpose == "temporary":
                on[key] = StillOn(entry.id, entry.part, entry.part, entry.labour_minutes or 0.0)
            elif entry.stage in ("fitted", "removed"):
                on.pop(key, None)
    yield from on.values()
