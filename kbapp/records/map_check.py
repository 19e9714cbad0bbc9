"""Checks a well-formed section map: what contradicts itself (faults), and what it cannot do (remarks)."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from typing import Final

from kbapp.records.fault import Fault, shorten
from kbapp.records.likelihood import is_short_form, likelihoods, named_sections, own_likelihood
from kbapp.records.section_map import ELSEWHERE, NOT_ON_MAP, RESERVED, MapTest, SectionMap

MAX_SECTIONS: Final = 200
MAX_TESTS: Final = 500
MAX_OUTCOMES: Final = 20
_SUM_TOLERANCE: Final = 1e-6
_SAME: Final = 1e-12


def map_faults(section_map: SectionMap) -> tuple[Fault, ...]:
    """Returns everything that keeps a map from being used, in the order of the document."""
    checks = (
        _size_faults(section_map),
        _id_faults(section_map),
        _prior_faults(section_map),
        _reference_faults(section_map),
        _part_faults(section_map),
        *(_test_faults(section_map, n, test) for n, test in enumerate(section_map.tests)),
        _nested_faults(section_map),
    )
    return tuple(dict.fromkeys(chain.from_iterable(checks)))


def map_remarks(section_map: SectionMap) -> tuple[Fault, ...]:
    """Returns what a usable map cannot do: sections no test touches, sections no test tells apart."""
    touched = frozenset(chain.from_iterable(named_sections(test) for test in section_map.tests))
    remarks = [
        Fault(f"sections.{n}", "map_section_untouched", section.id)
        for n, section in enumerate(section_map.sections)
        if section.id not in touched
    ]
    columns: dict[tuple[float, ...], list[str]] = {}
    tables = [likelihoods(section_map, test) for test in section_map.tests]
    for column, section in enumerate(section_map.sections):
        key = tuple(round(row[column], 9) for table in tables for row in table)
        columns.setdefault(key, []).append(section.id)
    remarks += [
        Fault("sections", "map_sections_unsplit", shorten(", ".join(names)))
        for names in columns.values()
        if len(names) > 1
    ]
    return tuple(remarks)


def nesting_faults(maps: Mapping[str, SectionMap]) -> tuple[Fault, ...]:
    """Returns each map (by id) from which nesting leads back to itself, once a cycle."""
    faults, seen = [], set()
    for start in sorted(maps):
        cycle = _cycle_from(start, maps)
        if cycle and frozenset(cycle) not in seen:
            seen.add(frozenset(cycle))
            faults.append(Fault(f"{start}.nested", "map_nested_cycle", " → ".join([*cycle, cycle[0]])))
    return tuple(faults)


def _cycle_from(start: str, maps: Mapping[str, SectionMap]) -> list[str] | None:
    stack: list[tuple[str, list[str]]] = [(start, [start])]
    visited: set[str] = set()
    while stack:
        here, path = stack.pop()
        for child in (nested.map for nested in maps[here].nested):
            if child == start:
                return path
            if child in maps and child not in visited:
                visited.add(child)
                stack.append((child, [*path, child]))
    return None


def _size_faults(section_map: SectionMap) -> Iterator[Fault]:
    for path, count, least, most in (
        ("sections", len(section_map.sections), 1, MAX_SECTIONS),
        ("tests", len(section_map.tests), 0, MAX_TESTS),
    ):
        if not least <= count <= most:
            yield Fault(path, "map_count", str(count), f"{least}–{most}")


def _twice(path: str, names: Iterable[str]) -> Iterator[Fault]:
    for name, count in Counter(names).items():
        if count > 1:
            yield Fault(path, "map_id_twice", shorten(name))


def _id_faults(section_map: SectionMap) -> Iterator[Fault]:
    yield from _twice("sections", (section.id for section in section_map.sections))
    yield from _twice("tests", (test.id for test in section_map.tests))
    for n, section in enumerate(section_map.sections):
        if section.id in RESERVED:
            yield Fault(f"sections.{n}.id", "map_id_reserved", section.id)
        yield from _twice(f"sections.{n}.parts", (part.id for part in section.parts))
    for n, test in enumerate(section_map.tests):
        yield from _twice(f"tests.{n}.outcomes", (outcome.id for outcome in test.outcomes))
        yield from _twice(f"tests.{n}.substitutes", (substitute.id for substitute in test.substitutes))
        yield from _twice(f"tests.{n}.conditions", (condition.id for condition in test.conditions))


def _prior_faults(section_map: SectionMap) -> Iterator[Fault]:
    for n, section in enumerate(section_map.sections):
        if section.prior == 0:
            yield Fault(f"sections.{n}.prior", "map_prior_zero", "0")
    if section_map.not_on_map == 0:
        yield Fault(NOT_ON_MAP, "map_prior_zero", "0")
    known = set(section_map.hypotheses())
    for symptom, table in section_map.priors_by_symptom.items():
        path = f"priors_by_symptom.{symptom}"
        for name, weight in table.items():
            if name not in known:
                yield Fault(path, "map_section_unknown", shorten(name))
            elif weight == 0:
                yield Fault(f"{path}.{name}", "map_prior_zero", "0")


def _reference_faults(section_map: SectionMap) -> Iterator[Fault]:
    known = {section.id for section in section_map.sections}
    places: list[tuple[str, tuple[str, ...]]] = [("good_first", section_map.good_first)]
    for n, section in enumerate(section_map.sections):
        places += [(f"sections.{n}.feeds", section.feeds), (f"sections.{n}.good_first", section.good_first)]
        if section.id in (*section.feeds, *section.good_first):
            yield Fault(f"sections.{n}", "map_section_itself", section.id)
    for n, test in enumerate(section_map.tests):
        places.append((f"tests.{n}.good_first", test.good_first))
        places += [(f"tests.{n}.outcomes.{m}.points_to", o.points_to or ()) for m, o in enumerate(test.outcomes)]
    for path, names in places:
        yield from (Fault(path, "map_section_unknown", shorten(name)) for name in names if name not in known)
        yield from _twice(path, names)


def _part_faults(section_map: SectionMap) -> Iterator[Fault]:
    """Yields parts that could never be the cause, and one part id told in two ways."""
    first: dict[str, tuple[object, ...]] = {}
    weight: Counter[str] = Counter()
    for n, section in enumerate(section_map.sections):
        for m, part in enumerate(section.parts):
            told = (part.name, part.cost, part.labour_minutes)
            if first.setdefault(part.id, told) != told:
                yield Fault(f"sections.{n}.parts.{m}", "map_part_differs", shorten(part.id))
            weight[part.id] += 1 if part.share is None else part.share > 0
    for name, total in weight.items():
        if not total:
            yield Fault("sections", "map_part_orphan", shorten(name))


def _test_faults(section_map: SectionMap, n: int, test: MapTest) -> Iterator[Fault]:
    path = f"tests.{n}"
    if not 2 <= len(test.outcomes) <= MAX_OUTCOMES:
        yield Fault(f"{path}.outcomes", "map_count", str(len(test.outcomes)), f"2–{MAX_OUTCOMES}")
        return
    shape = list(_shape_faults(path, test))
    yield from shape
    if shape:
        return
    sums = [] if is_short_form(test) else list(_sum_faults(section_map, path, test))
    yield from sums
    if not sums and _tells_nothing(section_map, test):
        yield Fault(path, "map_test_tells_nothing", test.id)


def _shape_faults(path: str, test: MapTest) -> Iterator[Fault]:
    own = [outcome.likelihood is not None for outcome in test.outcomes]
    if any(own):
        for m, outcome in enumerate(test.outcomes):
            if outcome.likelihood is None:
                yield Fault(f"{path}.outcomes.{m}.likelihood", "map_likelihood_missing", outcome.id)
            if outcome.points_to is not None:
                yield Fault(f"{path}.outcomes.{m}.points_to", "map_two_forms", outcome.id)
        return
    if len(test.outcomes) > 2:
        yield Fault(f"{path}.outcomes", "map_short_form_two", str(len(test.outcomes)))
    if test.outcomes[0].points_to is None:
        yield Fault(f"{path}.outcomes.0.points_to", "map_points_to_missing", test.outcomes[0].id)
    for m, outcome in enumerate(test.outcomes[1:], start=1):
        if outcome.points_to:
            yield Fault(f"{path}.outcomes.{m}.points_to", "map_points_to_second", outcome.id)


def _sum_faults(section_map: SectionMap, path: str, test: MapTest) -> Iterator[Fault]:
    known = {*section_map.hypotheses(), ELSEWHERE}
    for m, outcome in enumerate(test.outcomes):
        for name in outcome.likelihood or {}:
            if name not in known:
                yield Fault(f"{path}.outcomes.{m}.likelihood", "map_section_unknown", shorten(name))
    for name in section_map.hypotheses():
        values = [own_likelihood(outcome, name) for outcome in test.outcomes]
        if any(value is None for value in values):
            yield Fault(f"{path}.outcomes", "map_likelihood_gap", name)
            continue
        total = sum(value for value in values if value is not None)
        if abs(total - 1) > _SUM_TOLERANCE:
            yield Fault(f"{path}.outcomes", "map_likelihood_sum", f"{name}: {total:.6g}", "1")


def _tells_nothing(section_map: SectionMap, test: MapTest) -> bool:
    rows = likelihoods(section_map, test)
    return all(max(row) - min(row) <= _SAME for row in rows)


def _nested_faults(section_map: SectionMap) -> Iterator[Fault]:
    known = {section.id for section in section_map.sections}
    yield from _twice("nested", (nested.section for nested in section_map.nested))
    for n, nested in enumerate(section_map.nested):
        if nested.section not in known:
            yield Fault(f"nested.{n}.section", "map_section_unknown", shorten(nested.section))
        if nested.map == section_map.id:
            yield Fault(f"nested.{n}.map", "map_nested_cycle", f"{nested.map} → {nested.map}")
