"""Inside a section: the shares of its parts, from the map's own shares or from the map nested in it."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from kbapp.isolation.model import build
from kbapp.isolation.parts import part_shares, places_of
from kbapp.isolation.picture import Picture, picture
from kbapp.isolation.repaired import repair_index
from kbapp.records.case import Case
from kbapp.records.section_map import MapSection, SectionMap
from kbapp.records.timeline import PartEntry


@dataclass(frozen=True, slots=True)
class PartShare:
    """A part's (or a nested map's section's) share of the whole concern, and how it stands inside its section (0–1)."""

    id: str
    name: str
    share: float
    inside: float


@dataclass(frozen=True, slots=True)
class Pinpoint:
    """What lies inside a section. ``map``: the nested map that was read, empty where only parts are listed."""

    section: str
    map: str
    parts: tuple[PartShare, ...]


def pinpoint(view: Picture, case: Case, nested: Mapping[str, SectionMap]) -> tuple[Pinpoint, ...]:
    """Returns the inside of every section that has parts or a nested map among those given.

    A nested map is read on its own, on the same timeline, given that the fault is in its section; its "not on this map"
    stays as the rest of the section.
    """
    out = []
    maps = {link.section: link.map for link in view.model.section_map.nested}
    for section in view.model.section_map.sections:
        inner = nested.get(maps.get(section.id, ""))
        if inner is not None:
            out.append(Pinpoint(section.id, inner.id, _nested_shares(view.share(section.id), case, inner)))
        elif section.parts:
            out.append(Pinpoint(section.id, "", _part_shares(view, case, section)))
    return tuple(out)


def _part_shares(view: Picture, case: Case, section: MapSection) -> tuple[PartShare, ...]:
    """Returns the parts' shares, less what parts fitted in vain have ruled out."""
    weights = part_shares(section)
    for entry in case.timeline[: repair_index(case)]:
        if isinstance(entry, PartEntry) and entry.stage == "fitted" and entry.effect == "unchanged":
            for place in places_of(view.model.section_map, entry):
                if place.section == section.id and place.part is not None:
                    weights[place.part.id] = min(
                        weights[place.part.id], part_shares(section)[place.part.id] * (1.0 - place.cure)
                    )
    total = sum(weights.values())
    whole = view.share(section.id)
    inside = {name: weight / total if total else 0.0 for name, weight in weights.items()}
    return tuple(PartShare(part.id, part.name, whole * inside[part.id], inside[part.id]) for part in section.parts)


def _nested_shares(whole: float, case: Case, inner: SectionMap) -> tuple[PartShare, ...]:
    inside = picture(case, build(inner, case.concern.symptoms))
    names = {section.id: section.name for section in inner.sections}
    return tuple(
        PartShare(name, names.get(name, name), whole * float(share), float(share))
        for name, share in zip(inside.model.hypotheses, np.asarray(inside.shares), strict=True)
    )
