"""Where a case and a map do not belong together."""

from kbapp.records.case import Case
from kbapp.records.fault import Fault, shorten
from kbapp.records.section_map import SectionMap


def map_mismatch(case: Case, section_map: SectionMap) -> tuple[Fault, ...]:
    """Returns the fault that the case names another map, if it does; a case that names none takes any."""
    if case.map is not None and case.map.id != section_map.id:
        return (Fault("map.id", "case_map_differs", shorten(case.map.id), shorten(section_map.id)),)
    return ()
