"""Minimal hitting sets: the smallest sets that take one element of each of several sets (Reiter 1987)."""

from collections.abc import Collection, Iterable


def minimal_hitting_sets(conflicts: Iterable[Collection[str]], limit: int | None = None) -> tuple[frozenset[str], ...]:
    """Returns the minimal sets that meet every conflict, smallest first, then by name; none where a conflict is empty.

    ``limit`` bounds their size. Built one conflict at a time: sets that meet it stay, the others grow by one of its
    elements; what contains another set goes.
    """
    found: set[frozenset[str]] = {frozenset()}
    for conflict in sorted({frozenset(c) for c in conflicts}, key=lambda c: (len(c), sorted(c))):
        grown = {
            candidate | {element}
            for candidate in found
            for element in ([next(iter(candidate & conflict))] if candidate & conflict else conflict)
        }
        found = _minimal(grown, limit)
    return tuple(sorted(found, key=lambda s: (len(s), sorted(s))))


def _minimal(sets: set[frozenset[str]], limit: int | None) -> set[frozenset[str]]:
    kept: list[frozenset[str]] = []
    for candidate in sorted(sets, key=len):
        small = limit is None or len(candidate) <= limit
        if small and not any(other <= candidate for other in kept):
            kept.append(candidate)
    return set(kept)
