"""Puts the sections of a map on a grid of cells, left to right as they feed each other; long chains go on below.

Pure: section ids in, cells out. What closes a loop is told apart, so that it can be drawn as one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from kbapp.records.section_map import NOT_ON_MAP, SectionMap

Edge = tuple[str, str]
_MOST_ROUNDS: Final = 500


@dataclass(frozen=True, slots=True)
class Cell:
    """A place on the grid, counted from 0."""

    column: int
    row: int


@dataclass(frozen=True, slots=True)
class Grid:
    """Every section's cell (``not_on_map`` among them), the edges in the map's order, and those that close a loop."""

    cells: Mapping[str, Cell]
    edges: tuple[Edge, ...]
    loops: frozenset[Edge]

    @property
    def columns(self) -> int:
        """How many columns are used."""
        return 1 + max((cell.column for cell in self.cells.values()), default=0)

    @property
    def rows(self) -> int:
        """How many rows are used."""
        return 1 + max((cell.row for cell in self.cells.values()), default=0)


def edges_of(section_map: SectionMap) -> tuple[Edge, ...]:
    """Returns what feeds what, each once."""
    known = {section.id for section in section_map.sections}
    pairs = ((section.id, fed) for section in section_map.sections for fed in section.feeds)
    return tuple(dict.fromkeys(pair for pair in pairs if pair[1] in known and pair[0] != pair[1]))


def layer_count(section_map: SectionMap) -> int:
    """Returns how many columns the map takes if nothing goes on below."""
    edges = edges_of(section_map)
    layers = _layers([section.id for section in section_map.sections], edges, loop_edges(section_map, edges))
    return 1 + max(layers.values(), default=0)


def arrange(section_map: SectionMap, columns: int) -> Grid:
    """Returns the grid of a map in at most ``columns`` columns."""
    names = [section.id for section in section_map.sections]
    edges = edges_of(section_map)
    loops = loop_edges(section_map, edges)
    layers = _layers(names, edges, loops)
    forward = [edge for edge in edges if edge not in loops]
    taken: dict[Cell, str] = {}
    for group in _components(names, edges):
        placed = _place_group(group, layers, forward, columns)
        _pack(placed, taken)
    _pack({NOT_ON_MAP: Cell(0, 0)}, taken, columns)
    return Grid({name: cell for cell, name in taken.items()}, edges, loops)


def loop_edges(section_map: SectionMap, edges: tuple[Edge, ...]) -> frozenset[Edge]:
    """Returns the edges that close a loop; a loop begins with its section that stands first in the map."""
    out: dict[str, list[str]] = {section.id: [] for section in section_map.sections}
    for one, other in edges:
        out[one].append(other)
    reach = {name: _reached(name, out) for name in out}
    closing: set[Edge] = set()
    done: set[str] = set()
    for name in out:
        if name not in done:
            ring = {other for other in reach[name] if name in reach[other]} | {name}
            closing |= _closing(name, ring, out)
            done |= ring
    return frozenset(closing)


def _reached(name: str, out: Mapping[str, list[str]]) -> set[str]:
    seen: set[str] = set()
    waiting = list(out[name])
    while waiting:
        other = waiting.pop()
        if other not in seen:
            seen.add(other)
            waiting.extend(out[other])
    return seen


def _closing(start: str, ring: set[str], out: Mapping[str, list[str]]) -> set[Edge]:
    closing: set[Edge] = set()
    path, seen = [(start, iter(out[start]))], {start}
    on_path = {start}
    while path:
        name, following = path[-1]
        step = next((other for other in following if other in ring), None)
        if step is None:
            path.pop()
            on_path.discard(name)
        elif step in on_path:
            closing.add((name, step))
        elif step not in seen:
            seen.add(step)
            on_path.add(step)
            path.append((step, iter(out[step])))
    return closing


def _layers(names: list[str], edges: tuple[Edge, ...], loops: frozenset[Edge]) -> dict[str, int]:
    """Returns each section's layer: one beyond whatever feeds it; what only feeds stands below what it feeds."""
    layers = dict.fromkeys(names, 0)
    forward = [edge for edge in edges if edge not in loops]
    for _round in range(min(len(names), _MOST_ROUNDS)):
        moved = False
        for one, other in forward:
            if layers[other] <= layers[one]:
                layers[other], moved = layers[one] + 1, True
        if not moved:
            break
    fed = {other for _one, other in edges}
    for name in names:
        feeds = [layers[other] for one, other in forward if one == name]
        if name not in fed and feeds and min(feeds) > 1:
            layers[name] = min(feeds)
    return layers


def _components(names: list[str], edges: tuple[Edge, ...]) -> list[list[str]]:
    """Returns the sections that hang together, in the map's order; the larger groups first."""
    group = {name: name for name in names}

    def root(name: str) -> str:
        while group[name] != name:
            name = group[name]
        return name

    for one, other in edges:
        group[root(one)] = root(other)
    found: dict[str, list[str]] = {}
    for name in names:
        found.setdefault(root(name), []).append(name)
    return sorted(found.values(), key=lambda members: -min(len(members), 2))


def _place_group(group: list[str], layers: Mapping[str, int], forward: list[Edge], columns: int) -> dict[str, Cell]:
    lowest = min(layers[name] for name in group)
    rows: dict[str, int] = {}
    used: dict[int, set[int]] = {}
    for name in sorted(group, key=lambda name: (layers[name], _has_same_layer_target(name, layers, forward))):
        wanted = [rows[one] for one, other in forward if other == name and one in rows]
        row = min(wanted, default=0)
        layer = layers[name] - lowest
        while row in used.setdefault(layer, set()):
            row += 1
        used[layer].add(row)
        rows[name] = row
    bands: dict[int, int] = {}
    for name in group:
        band = (layers[name] - lowest) // columns
        bands[band] = max(bands.get(band, 0), rows[name] + 1)
    start = {band: sum(bands[other] for other in bands if other < band) for band in bands}
    out = {}
    for name in group:
        band, column = divmod(layers[name] - lowest, columns)
        out[name] = Cell(column, start[band] + rows[name])
    return out


def _has_same_layer_target(name: str, layers: Mapping[str, int], forward: list[Edge]) -> bool:
    return any(one == name and layers[other] == layers[name] for one, other in forward)


def _pack(placed: Mapping[str, Cell], taken: dict[Cell, str], columns: int = 1) -> None:
    """Moves a group down (a single section also to the right) until all its cells are free."""
    down = 0
    while True:
        for right in range(columns):
            moved = {name: Cell(cell.column + right, cell.row + down) for name, cell in placed.items()}
            if not any(cell in taken for cell in moved.values()):
                taken.update({cell: name for name, cell in moved.items()})
                return
        down += 1
