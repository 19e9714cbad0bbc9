"""The names a map gives its sections, tests and outcomes, for sentences about them."""

from dataclasses import dataclass

from kbapp.i18n import _
from kbapp.records.section_map import NOT_ON_MAP, SectionMap


@dataclass(frozen=True, slots=True)
class MapNames:
    """Finds names by id; an id the map does not know stands as it is."""

    section_map: SectionMap

    def section(self, section_id: str) -> str:
        """Returns a section's name."""
        if section_id == NOT_ON_MAP:
            return _("Not on this map")
        section = self.section_map.section(section_id)
        return section.name if section is not None else section_id

    def sections(self, section_ids: tuple[str, ...]) -> str:
        """Returns several sections' names, separated by semicolons (names hold commas)."""
        return "; ".join(map(self.section, section_ids))

    def test(self, test_id: str) -> str:
        """Returns a test's name."""
        test = self.section_map.test(test_id)
        return test.name if test is not None else test_id

    def outcome(self, test_id: str, outcome_id: str) -> str:
        """Returns an outcome's name."""
        test = self.section_map.test(test_id)
        outcome = test.outcome(outcome_id) if test is not None else None
        return outcome.name if outcome is not None else outcome_id


def percent(share: float) -> str:
    """Returns a share as a technician reads it: 74 %, under 1 %, over 99 %."""
    if 0 < share < 0.005:
        return _("under 1 %")
    if 0.995 < share < 1:
        return _("over 99 %")
    return _("{n} %").format(n=round(share * 100))


def minutes(value: float) -> str:
    """Returns minutes, without decimals that nobody needs."""
    return _("{n} min").format(n=f"{value:.1f}".rstrip("0").rstrip("."))


def money(value: float, currency: str) -> str:
    """Returns an amount without cents: these are expectations, not bills."""
    return f"{value:,.0f} {currency}".strip()
