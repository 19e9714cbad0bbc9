"""Leads the pipes between the cells of a flow along level and upright lines, never through a section.

Each gap between rows and columns has lanes; what comes from one section shares its lane, so that a branch looks like
one. Pure geometry in pixels.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from kbapp.desktop.split_board.flow_grid import Cell, Edge, Grid

Point = tuple[float, float]
Channel = tuple[Literal["level", "upright"], int]


@dataclass(frozen=True, slots=True)
class Measures:
    """Sizes in pixels: a node, the gaps between columns and rows, and the air around all."""

    width: float
    height: float
    gap_x: float
    gap_y: float
    pad: float

    def left(self, column: int) -> float:
        """Returns where a column begins."""
        return self.pad + column * (self.width + self.gap_x)

    def top(self, row: int) -> float:
        """Returns where a row begins."""
        return self.pad + row * (self.height + self.gap_y)


@dataclass(frozen=True, slots=True)
class Pipe:
    """A pipe from one section to another, as the points it goes through."""

    edge: Edge
    points: tuple[Point, ...]

    def longest(self) -> int:
        """Returns which of its stretches is the longest."""
        return max(range(len(self.points) - 1), key=self.length)

    def length(self, stretch: int) -> float:
        """Returns the length of a stretch."""
        (x1, y1), (x2, y2) = self.points[stretch], self.points[stretch + 1]
        return abs(x2 - x1) + abs(y2 - y1)


class Router:
    """Finds the way of every pipe of one grid."""

    def __init__(self, grid: Grid, measures: Measures) -> None:
        self._grid, self._m = grid, measures
        self._lanes: dict[Channel, list[str]] = {}
        self._ways = {edge: self._way(edge) for edge in grid.edges}

    def pipes(self) -> tuple[Pipe, ...]:
        """Returns the pipes in the map's order."""
        return tuple(Pipe(edge, self._draw(edge)) for edge in self._grid.edges)

    def _way(self, edge: Edge) -> str:
        """Returns what kind of way a pipe takes, and claims its lanes."""
        one, other = self._grid.cells[edge[0]], self._grid.cells[edge[1]]
        right, down = other.column - one.column, other.row - one.row
        both_ways = (edge[1], edge[0]) in self._grid.edges
        if down == 0 and abs(right) == 1 and not (right < 0 and both_ways):
            return "straight"
        if right == 0 and abs(down) == 1 and not (down < 0 and both_ways):
            return "straight"
        if down == 0:
            self._claim(("level", one.row), edge[0])
            return "under"
        if abs(right) == 1 and not (right < 0 and abs(down) == 1):
            self._claim(("upright", min(one.column, other.column)), edge[0])
            return "step"
        if right == 0:
            self._claim(("upright", one.column), edge[0])
            return "beside"
        self._claim(("level", one.row if down > 0 else one.row - 1), edge[0])
        if abs(down) == 1:
            return "over"
        self._claim(("upright", other.column - 1), edge[0])
        return "round"

    def _claim(self, channel: Channel, name: str) -> None:
        lane = self._lanes.setdefault(channel, [])
        if name not in lane:
            lane.append(name)

    def _lane(self, channel: Channel, name: str) -> float:
        """Returns where the lane of a section lies in a gap (its x, or its y)."""
        kind, number = channel
        names = self._lanes[channel]
        m = self._m
        start, gap = (m.top(number) + m.height, m.gap_y) if kind == "level" else (m.left(number) + m.width, m.gap_x)
        if number < 0:
            start, gap = 0.0, m.pad
        if kind == "level" and len(names) == 1:
            return start + gap * 0.74  # room above it for what a gate says
        return start + gap * (names.index(name) + 1) / (len(names) + 1)

    def _draw(self, edge: Edge) -> tuple[Point, ...]:
        one, other = self._grid.cells[edge[0]], self._grid.cells[edge[1]]
        draw = {
            "straight": self._straight, "under": self._under, "step": self._step, "beside": self._beside,
            "over": self._over, "round": self._round,
        }[self._ways[edge]]  # fmt: skip
        return draw(edge[0], one, other)

    def _side(self, cell: Cell, *, right: bool) -> Point:
        m = self._m
        return m.left(cell.column) + (m.width if right else 0), m.top(cell.row) + m.height / 2

    def _end(self, cell: Cell, part: float, *, bottom: bool) -> Point:
        m = self._m
        return m.left(cell.column) + m.width * part, m.top(cell.row) + (m.height if bottom else 0)

    def _straight(self, name: str, one: Cell, other: Cell) -> tuple[Point, ...]:
        if one.row == other.row:
            right = other.column > one.column
            return self._side(one, right=right), self._side(other, right=not right)
        down = other.row > one.row
        return self._end(one, 0.72, bottom=down), self._end(other, 0.72, bottom=not down)

    def _under(self, name: str, one: Cell, other: Cell) -> tuple[Point, ...]:
        y = self._lane(("level", one.row), name)
        start, end = self._end(one, 0.3, bottom=True), self._end(other, 0.3, bottom=True)
        return start, (start[0], y), (end[0], y), end

    def _step(self, name: str, one: Cell, other: Cell) -> tuple[Point, ...]:
        right = other.column > one.column
        x = self._lane(("upright", min(one.column, other.column)), name)
        start, end = self._side(one, right=right), self._side(other, right=not right)
        return start, (x, start[1]), (x, end[1]), end

    def _beside(self, name: str, one: Cell, other: Cell) -> tuple[Point, ...]:
        last = one.column == self._grid.columns - 1
        x = self._lane(("upright", one.column), name)
        if last:
            x = min(x, self._m.left(one.column) + self._m.width + self._m.pad - 3)
        start, end = self._side(one, right=True), self._side(other, right=True)
        return start, (x, start[1]), (x, end[1]), end

    def _over(self, name: str, one: Cell, other: Cell) -> tuple[Point, ...]:
        down = other.row > one.row
        y = self._lane(("level", one.row if down else one.row - 1), name)
        start, end = self._end(one, 0.5, bottom=down), self._end(other, 0.5, bottom=not down)
        return start, (start[0], y), (end[0], y), end

    def _round(self, name: str, one: Cell, other: Cell) -> tuple[Point, ...]:
        down = other.row > one.row
        y = self._lane(("level", one.row if down else one.row - 1), name)
        x = self._lane(("upright", other.column - 1), name)
        start, end = self._end(one, 0.5, bottom=down), self._side(other, right=False)
        return start, (start[0], y), (x, y), (x, end[1]), end


def routes(grid: Grid, measures: Measures) -> Mapping[Edge, Pipe]:
    """Returns every pipe of a grid by its edge."""
    return {pipe.edge: pipe for pipe in Router(grid, measures).pipes()}
