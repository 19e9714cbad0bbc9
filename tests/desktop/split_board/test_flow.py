"""The flow's grid, routes and gates: nothing overlaps, nothing runs through a section, loops are loops."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.desktop.split_board.flow_gates import Gate, place_gates
from kbapp.desktop.split_board.flow_grid import Cell, arrange, edges_of, layer_count, loop_edges
from kbapp.desktop.split_board.flow_routes import Measures, routes
from kbapp.maps.shipped import shipped_ids, shipped_map
from kbapp.records.section_map import MAP_FORMAT, NOT_ON_MAP, MapSection, SectionMap

MEASURES = Measures(150, 60, 60, 33, 12)


def _map(feeds: dict[str, tuple[str, ...]]) -> SectionMap:
    sections = tuple(MapSection(id=name, name=name, prior=1.0, feeds=fed) for name, fed in feeds.items())
    return SectionMap(format=MAP_FORMAT, id="m", title="m", sections=sections, not_on_map=1.0)


@st.composite
def maps(draw: st.DrawFn) -> SectionMap:
    names = [f"s{n}" for n in range(draw(st.integers(1, 12)))]
    return _map({name: tuple(draw(st.lists(st.sampled_from(names), max_size=3, unique=True))) for name in names})


def test_the_cooling_loop_reads_from_the_pump_round_and_back() -> None:
    section_map = shipped_map("engine-overheating")
    grid = arrange(section_map, 3)
    assert [grid.cells[name] for name in ("flow", "thermostat", "radiator")] == [Cell(0, 0), Cell(1, 0), Cell(2, 0)]
    assert grid.loops == {("radiator", "flow")}
    assert grid.cells["fan"] == Cell(2, 1), "what only feeds the radiator stands below it"
    assert layer_count(section_map) == 3
    loop = routes(grid, MEASURES)["radiator", "flow"].points
    assert loop[0][1] == loop[-1][1] == MEASURES.top(0) + MEASURES.height, "it leaves and comes in from below"
    assert loop[1][1] > loop[0][1]


def test_a_chain_goes_on_below_where_the_columns_end() -> None:
    grid = arrange(_map({"a": ("b",), "b": ("c",), "c": ("d",), "d": ()}), 2)
    assert [grid.cells[name] for name in "abcd"] == [Cell(0, 0), Cell(1, 0), Cell(0, 1), Cell(1, 1)]


def test_a_section_that_feeds_itself_or_a_stranger_has_no_such_pipe() -> None:
    assert edges_of(_map({"a": ("a", "b", "b"), "b": ("nobody",)})) == (("a", "b"),)


@settings(max_examples=60, deadline=None)
@given(section_map=maps(), columns=st.integers(1, 6))
def test_every_section_has_a_cell_of_its_own_within_the_columns(section_map: SectionMap, columns: int) -> None:
    grid = arrange(section_map, columns)
    assert set(grid.cells) == set(section_map.hypotheses())
    assert len(set(grid.cells.values())) == len(grid.cells)
    assert grid.columns <= columns
    assert NOT_ON_MAP in grid.cells


@settings(max_examples=60, deadline=None)
@given(section_map=maps())
def test_without_its_closing_edges_a_map_has_no_loop(section_map: SectionMap) -> None:
    edges = edges_of(section_map)
    left = [edge for edge in edges if edge not in loop_edges(section_map, edges)]
    nodes = {section.id for section in section_map.sections}
    while nodes:
        free = {name for name in nodes if not any(other == name and one in nodes for one, other in left)}
        assert free, "a loop is left"
        nodes -= free


def _crosses(one: tuple[float, float], other: tuple[float, float], cell: Cell) -> bool:
    left, top = MEASURES.left(cell.column) + 1, MEASURES.top(cell.row) + 1
    right, bottom = left + MEASURES.width - 2, top + MEASURES.height - 2
    x1, x2 = sorted((one[0], other[0]))
    y1, y2 = sorted((one[1], other[1]))
    return x1 < right and x2 > left and y1 < bottom and y2 > top


@settings(max_examples=60, deadline=None)
@given(section_map=maps(), columns=st.integers(1, 5))
def test_pipes_are_level_or_upright_and_never_run_through_a_section(section_map: SectionMap, columns: int) -> None:
    grid = arrange(section_map, columns)
    for pipe in routes(grid, MEASURES).values():
        for one, other in pairwise(pipe.points):
            assert one[0] == other[0] or one[1] == other[1]
            assert not any(_crosses(one, other, cell) for cell in grid.cells.values()), pipe


@pytest.mark.parametrize("map_id", shipped_ids())
def test_shipped_maps_are_drawn_in_two_and_in_three_columns(map_id: str) -> None:
    section_map = shipped_map(map_id)
    for columns in (2, 3):
        grid = arrange(section_map, columns)
        pipes = routes(grid, MEASURES)
        assert set(pipes) == set(grid.edges)
        for pipe in pipes.values():
            for one, other in pairwise(pipe.points):
                assert not any(_crosses(one, other, cell) for cell in grid.cells.values())


def test_gates_stand_on_the_pipe_that_parts_what_was_pointed_to() -> None:
    pipes = routes(arrange(shipped_map("engine-overheating"), 3), MEASURES)
    gates = (
        Gate(3, "full speed", "clear", frozenset({"fan"})),
        Gate(4, "cold", "supported", frozenset({"flow", "thermostat"})),
        Gate(5, "cold again", "supported", frozenset({"flow", "thermostat"})),
    )
    placed = {item.gate.line: item.edge for item in place_gates(gates, pipes)}
    assert placed[3] == ("fan", "radiator")
    assert {placed[4], placed[5]} == {("radiator", "flow"), ("thermostat", "radiator")}
    assert place_gates((Gate(9, "x", "open", frozenset({"nobody"})),), pipes) == ()
