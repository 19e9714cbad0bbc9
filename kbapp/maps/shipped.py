"""Finds the section maps that ship with the program: by id, system, symptom, or the section they pinpoint in.

The documents lie beside this module in ``data/<map id>.json`` and are read when first asked for.
"""

from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Final

from kbapp.errors import DamageError, InputError
from kbapp.records.map_document import read_map
from kbapp.records.section_map import SectionMap
from kbapp.records.symptoms import kinship

_SUFFIX: Final = ".json"
_SAME: Final = 1.0


def _folder() -> Traversable:
    return files("kbapp.maps").joinpath("data")


@lru_cache(maxsize=1)
def shipped_ids() -> tuple[str, ...]:
    """Returns the ids of the shipped maps in alphabetical order; no document is read for it."""
    names = (entry.name for entry in _folder().iterdir())
    return tuple(sorted(name.removesuffix(_SUFFIX) for name in names if name.endswith(_SUFFIX)))


@lru_cache(maxsize=256)
def _read(map_id: str) -> SectionMap:
    found = read_map(_folder().joinpath(map_id + _SUFFIX).read_bytes())
    if found.value is None or found.value.id != map_id:
        raise DamageError("map_damaged", map=map_id)
    return found.value


def shipped_map(map_id: str) -> SectionMap:
    """Returns the shipped map of an id.

    Raises:
        InputError: ``map_unknown``: no map of that id ships; ``map`` holds what was asked for.
        DamageError: ``map_damaged``: the document of the installation was altered.
    """
    if map_id not in shipped_ids():
        raise InputError("map_unknown", map=map_id)
    return _read(map_id)


def shipped_maps() -> tuple[SectionMap, ...]:
    """Returns every shipped map in the order of ids; all documents are read the first time."""
    return tuple(_read(map_id) for map_id in shipped_ids())


def second_level_ids() -> frozenset[str]:
    """Returns the ids of maps that another map leads into."""
    return frozenset(nested.map for section_map in shipped_maps() for nested in section_map.nested)


def maps_for_system(system: str) -> tuple[SectionMap, ...]:
    """Returns the maps of a system, first those no other map leads into."""
    inner = second_level_ids()
    found = [section_map for section_map in shipped_maps() if section_map.system == system]
    return tuple(sorted(found, key=lambda section_map: section_map.id in inner))


def maps_for_symptom(symptom: str) -> tuple[SectionMap, ...]:
    """Returns the maps that name a symptom; where none does, those that name one of its kin.

    Nearest kin first; among equals, maps no other map leads into, then the one that names the symptom earliest.
    """
    inner = second_level_ids()
    ranked = [
        (-max(near), section_map.id in inner, near.index(max(near)), section_map.id, section_map)
        for section_map in shipped_maps()
        if (near := [kinship(symptom, term) for term in section_map.symptoms]) and max(near) > 0
    ]
    exact = [entry for entry in ranked if entry[0] == -_SAME]
    return tuple(entry[-1] for entry in sorted(exact or ranked, key=lambda entry: entry[:4]))


def nested_map(section_map: SectionMap, section_id: str) -> SectionMap | None:
    """Returns the shipped map that pinpoints inside a section, or None where there is none (or none ships)."""
    wanted = next((nested.map for nested in section_map.nested if nested.section == section_id), None)
    return _read(wanted) if wanted in shipped_ids() else None
