"""How often fitting a part cured a concern, over proved cases of other vehicles."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.isolation.intervals import Interval, wilson
from kbapp.isolation.parts import same_part
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import PartEntry

LEAST_CASES: Final = 8
RARELY: Final = 0.35
"""The part is called rarely the cause where the upper bound of its cure rate is not above this."""


@dataclass(frozen=True, slots=True)
class PartRecord:
    """How many independent proved cases had the part fitted and were cured by it; over the family, else the system."""

    interval: Interval
    scope: Literal["family", "system"]

    @property
    def speaks(self) -> bool:
        """Whether there are enough cases and the part rarely cured them."""
        return self.interval.of >= LEAST_CASES and self.interval.high <= RARELY


def same_concern(one: Case, other: Case) -> bool:
    """Returns whether two cases share a concern: a symptom in common, else the same words."""
    mine = {symptom.casefold() for symptom in one.concern.symptoms}
    theirs = {symptom.casefold() for symptom in other.concern.symptoms}
    if mine or theirs:
        return bool(mine & theirs)
    return one.concern.text.strip().casefold() == other.concern.text.strip().casefold()


def part_record(
    cases: Iterable[Case], case: Case, part: str, section_map: SectionMap | None = None
) -> PartRecord | None:
    """Returns the record of a part for a case's concern, None where no proved case had it fitted.

    Family first; with fewer than eight cases there, the system. Each vehicle counts once; a repair whose changes were
    not separated counts in neither number, nor does a part fitted for another purpose than diagnosis.
    """
    judged = [other for other in cases if other.id != case.id and _counts(other, part, section_map)]
    akin = [other for other in judged if same_concern(case, other) and _family(other) == _family(case) != ""]
    record = _record(akin, part, section_map, "family")
    if record is not None and record.interval.of >= LEAST_CASES:
        return record
    in_system = [o for o in judged if case.concern.system is not None and o.concern.system == case.concern.system]
    return _record(in_system, part, section_map, "system") or record


def _family(case: Case) -> str:
    return "" if case.vehicle is None else f"{case.vehicle.make} {case.vehicle.family}".strip().casefold()


def _counts(case: Case, part: str, section_map: SectionMap | None) -> bool:
    separated = case.cause is None or case.cause.separated
    return case.state == "proved" and separated and any(_is_fitted(e, part, section_map) for e in case.timeline)


def _is_fitted(entry: object, part: str, section_map: SectionMap | None) -> bool:
    return (
        isinstance(entry, PartEntry)
        and entry.stage == "fitted"
        and entry.purpose == "diagnostic"
        and same_part(entry.part, part, section_map)
    )


def _is_cured_by(case: Case, part: str, section_map: SectionMap | None) -> bool:
    if case.cause is not None and case.cause.part:
        return same_part(case.cause.part, part, section_map)
    return any(
        isinstance(e, PartEntry) and _is_fitted(e, part, section_map) and e.effect == "gone" for e in case.timeline
    )


def _record(
    cases: list[Case], part: str, section_map: SectionMap | None, scope: Literal["family", "system"]
) -> PartRecord | None:
    by_vehicle = {case.vehicle_ref or case.id: case for case in cases}
    if not by_vehicle:
        return None
    cured = sum(_is_cured_by(case, part, section_map) for case in by_vehicle.values())
    return PartRecord(wilson(cured, len(by_vehicle)), scope)
