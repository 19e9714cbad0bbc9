"""Base first: sections that must be proved good before a test or a part of another section means anything."""

from collections.abc import Iterable
from typing import Literal

from kbapp.isolation.model import Model
from kbapp.isolation.results import Evidence
from kbapp.records.likelihood import named_sections
from kbapp.records.section_map import MapTest, SectionMap

BaseState = Literal["good", "failed", "untested"]


def base_state(evidence: Evidence, section: str) -> BaseState:
    """Returns whether a prerequisite section was proved good: a result against it and none for it."""
    directions = {touch.direction for r in evidence.tests if (touch := r.touch(section)) is not None}
    if "for" in directions:
        return "failed"
    return "good" if "against" in directions else "untested"


def unmet(evidence: Evidence, sections: Iterable[str]) -> tuple[tuple[str, BaseState], ...]:
    """Returns the prerequisite sections that are not proved good, with how they stand."""
    states = ((section, base_state(evidence, section)) for section in sections)
    return tuple((section, state) for section, state in states if state != "good")


def needed_by_test(model: Model, test: MapTest) -> tuple[str, ...]:
    """Returns the sections to prove good before a test: its own list, and the map's unless it tests one of those."""
    named = named_sections(test)
    of_map = () if named.intersection(model.section_map.good_first) else model.section_map.good_first
    return tuple(dict.fromkeys(section for section in (*test.good_first, *of_map) if section not in named))


def needed_by_sections(section_map: SectionMap, sections: Iterable[str]) -> tuple[str, ...]:
    """Returns the sections to prove good before a part of these sections is fitted."""
    own = set(sections)
    listed: list[str] = []
    for name in own:
        section = section_map.section(name)
        listed += section.good_first if section is not None else ()
    base = set(section_map.good_first)
    if not own <= base:
        listed += section_map.good_first
    return tuple(dict.fromkeys(name for name in listed if name not in own))
