"""What lifts the swap guard from one line of a job: never from the whole job, and never by a bare word alone."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.isolation.parts import same_part
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import Exemption, PartEntry, TimelineEntry

ExemptionState = Literal["none", "full", "bare", "incomplete"]
Needs = Literal["", "reference", "limit", "trigger"]

_OUTRIGHT: Final = ("seal", "damage", "request", "temporary")


@dataclass(frozen=True, slots=True)
class Exempt:
    """Whether a line is exempt. ``bare``: maintenance by word alone, which does not lift *Contradicted*.

    ``incomplete``: the purpose would lift the guard, but what it ``needs`` is missing.
    """

    state: ExemptionState
    needs: Needs = ""


def exemption(
    entry: PartEntry,
    timeline: tuple[TimelineEntry, ...],
    section_map: SectionMap | None,
    trigger_qualifies: Callable[[PartEntry], bool],
) -> Exempt:
    """Returns the exemption of a line. ``trigger_qualifies`` says whether a line of its own would draw no warning."""
    if entry.purpose == "diagnostic":
        return Exempt("none")
    if entry.purpose in _OUTRIGHT:
        return Exempt("full")
    details = entry.exemption or Exemption()
    if entry.purpose == "maintenance":
        return Exempt("full" if details.reference or details.source else "bare")
    if entry.purpose == "recall":
        return Exempt("full") if details.reference else Exempt("incomplete", "reference")
    if entry.purpose == "measured":
        return Exempt("full") if _beyond(details) else Exempt("incomplete", "limit")
    triggers = (line for line in timeline if isinstance(line, PartEntry))
    others = [line for line in triggers if _is_other_side(line, entry, section_map)]
    return Exempt("full") if any(trigger_qualifies(line) for line in others) else Exempt("incomplete", "trigger")


def _beyond(details: Exemption) -> bool:
    """Returns whether a measurement is told in full: value, unit, a limit it differs from, and the limit's source."""
    told = details.value is not None and details.limit is not None and bool(details.unit) and bool(details.source)
    return told and details.value != details.limit


def _is_other_side(line: PartEntry, entry: PartEntry, section_map: SectionMap | None) -> bool:
    """Returns whether a line is the side that makes the pair or set necessary."""
    if line.id == entry.id or line.purpose in ("set", "request", "temporary"):
        return False
    other_place = line.position.casefold() != entry.position.casefold()
    return (
        line.stage != "removed"
        and (other_place or not entry.position)
        and same_part(line.part, entry.part, section_map)
    )
