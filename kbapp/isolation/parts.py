"""Which sections a fitted part belongs to (many to many), and its share in each."""

from dataclasses import dataclass

from kbapp.records.section_map import DEFAULT_CURE, DEFAULT_INCIDENTAL_CURE, MapPart, MapSection, SectionMap
from kbapp.records.timeline import PartEntry


@dataclass(frozen=True, slots=True)
class PartPlace:
    """A part in one section: its share there, the chance that fitting it cures a fault of it, or one elsewhere."""

    section: str
    share: float
    cure: float = DEFAULT_CURE
    incidental_cure: float = DEFAULT_INCIDENTAL_CURE
    part: MapPart | None = None


def part_shares(section: MapSection) -> dict[str, float]:
    """Returns part id → share in its section, summing to 1; parts without a share weigh as the mean of the others."""
    stated = [part.share for part in section.parts if part.share is not None]
    usual = sum(stated) / len(stated) if stated and sum(stated) > 0 else 1.0
    weights = {part.id: usual if part.share is None else part.share for part in section.parts}
    total = sum(weights.values())
    return {name: weight / total for name, weight in weights.items()} if total else {}


def places_of(section_map: SectionMap, entry: PartEntry) -> tuple[PartPlace, ...]:
    """Returns where a part belongs on the map: the section the entry names, else every section that lists the part.

    A position (LF, front, …) chooses among several sections where their ids or names carry it. Nothing is returned
    for a part that no section names: it cannot be judged.
    """
    if entry.section:
        section = section_map.section(entry.section)
        return () if section is None else (_place(section, entry),)
    listed = [section for section in section_map.sections if _find(section, entry.part) is not None]
    at_position = [section for section in listed if _carries(section, entry.position)]
    return tuple(_place(section, entry) for section in at_position or listed)


def same_part(one: str, other: str, section_map: SectionMap | None = None) -> bool:
    """Returns whether two names mean one part: equal, or both an id, name or other name of one part of the map."""
    if one.casefold() == other.casefold():
        return True
    if section_map is None:
        return False
    parts = (part for section in section_map.sections for part in section.parts)
    return any(_called(part, one) and _called(part, other) for part in parts)


def _called(part: MapPart, name: str) -> bool:
    return name.casefold() in {word.casefold() for word in (part.id, part.name, *part.also_called)}


def _find(section: MapSection, name: str) -> MapPart | None:
    return next((part for part in section.parts if _called(part, name)), None)


def _carries(section: MapSection, position: str) -> bool:
    return bool(position) and position.casefold() in {section.id.casefold(), *section.name.casefold().split()}


def _place(section: MapSection, entry: PartEntry) -> PartPlace:
    part = _find(section, entry.part)
    if part is not None:
        cure = DEFAULT_CURE if part.cure is None else part.cure
        incidental = DEFAULT_INCIDENTAL_CURE if part.incidental_cure is None else part.incidental_cure
        return PartPlace(section.id, part_shares(section).get(part.id, 0.0), cure, incidental, part)
    if section.parts:
        return PartPlace(section.id, 1.0 / (len(section.parts) + 1))
    whole = entry.part.casefold() in (section.id.casefold(), section.name.casefold())
    # A section without a list of parts is at least the part named and the rest of it, unless the part is the section.
    return PartPlace(section.id, 1.0 if whole else 0.5)
