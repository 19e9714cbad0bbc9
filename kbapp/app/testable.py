"""What can be tested with a kit: each test of a map as it is, by a substitute of less strength, or not."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kbapp.isolation.strength import lowest, steps_down
from kbapp.records.likelihood import stated_strength
from kbapp.records.section_map import MapTest, SectionMap, Substitute
from kbapp.records.timeline import Strength


@dataclass(frozen=True, slots=True)
class Testable:
    """One test: ``lacking`` is the kit that keeps it from being run as it is, ``substitute`` what stands in for it.

    ``strength``: of the way that can be run, "none" where there is none.
    """

    __test__ = False  # not a test case for pytest
    test: MapTest
    strength: Strength
    substitute: Substitute | None = None
    lacking: tuple[str, ...] = ()

    @property
    def possible(self) -> bool:
        """Whether it can be run in some way."""
        return not self.lacking or self.substitute is not None


@dataclass(frozen=True, slots=True)
class MapTests:
    """A map with each of its tests, in the map's order."""

    section_map: SectionMap
    tests: tuple[Testable, ...]

    @property
    def as_they_are(self) -> tuple[Testable, ...]:
        """The tests that can be run as they are."""
        return tuple(test for test in self.tests if not test.lacking)

    @property
    def by_substitute(self) -> tuple[Testable, ...]:
        """The tests that a substitute stands in for."""
        return tuple(test for test in self.tests if test.substitute is not None)

    @property
    def not_possible(self) -> tuple[Testable, ...]:
        """The tests that cannot be run."""
        return tuple(test for test in self.tests if not test.possible)


def kit_words(maps: Iterable[SectionMap]) -> Mapping[str, int]:
    """Returns every piece of kit the maps name with how many maps do, by name."""
    counts: Counter[str] = Counter()
    for section_map in maps:
        counts.update({piece for test in section_map.tests for piece in _kit_of(test)})
    return dict(sorted(counts.items()))


def _kit_of(test: MapTest) -> Iterable[str]:
    yield from test.kit
    for substitute in test.substitutes:
        yield from substitute.kit


def map_tests(section_map: SectionMap, missing: Iterable[str]) -> MapTests:
    """Returns what of a map can be tested without the kit that is missing."""
    lacking = frozenset(piece.casefold() for piece in missing)
    return MapTests(section_map, tuple(_testable(test, lacking) for test in section_map.tests))


def _testable(test: MapTest, lacking: frozenset[str]) -> Testable:
    gone = _lacking(test.kit, lacking)
    if not gone:
        return Testable(test, stated_strength(test))
    ways = [(strength, other) for other in test.substitutes if (strength := _strength(test, other)) != "none"]
    ways = [way for way in ways if not _lacking(way[1].kit, lacking)]
    if not ways:
        return Testable(test, "none", None, gone)
    strong = [way for way in ways if way[0] == "strong"]
    strength, substitute = (strong or ways)[0]
    return Testable(test, strength, substitute, gone)


def _strength(test: MapTest, substitute: Substitute) -> Strength:
    return lowest((steps_down(stated_strength(test), 1), substitute.strength))


def _lacking(kit: Iterable[str], lacking: frozenset[str]) -> tuple[str, ...]:
    return tuple(piece for piece in kit if piece.casefold() in lacking)
