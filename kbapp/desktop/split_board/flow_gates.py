"""Where tests were made: each own test of the map as a gate on the pipe that parts what it pointed to from the rest."""

from collections.abc import Mapping
from dataclasses import dataclass

from kbapp.desktop.split_board.flow_grid import Edge
from kbapp.desktop.split_board.flow_routes import Pipe
from kbapp.desktop.theme.tokens import Role
from kbapp.i18n import _
from kbapp.isolation.advice import Advice
from kbapp.records.likelihood import named_sections
from kbapp.records.section_map import MapTest
from kbapp.records.timeline import TestEntry
from kbapp.wording.board import SHORT_STATUS
from kbapp.wording.map_names import MapNames


@dataclass(frozen=True, slots=True)
class Gate:
    """A test on the flow: the line it stands on, its outcome in words, a colour role, the sections it names."""

    line: int
    word: str
    role: Role
    sections: frozenset[str]


@dataclass(frozen=True, slots=True)
class PlacedGate:
    """A gate on a pipe: which stretch, and how far along (0 to 1)."""

    gate: Gate
    edge: Edge
    stretch: int
    part: float


def gates_of(advice: Advice) -> tuple[Gate, ...]:
    """Returns the gates of every own test of the map, in the order of their lines."""
    found = []
    for line, entry in enumerate(advice.case.timeline, 1):
        test = advice.picture.model.find_test(entry.test) if isinstance(entry, TestEntry) else None
        if isinstance(entry, TestEntry) and test is not None:
            found.append(_gate(advice, line, entry, test))
    return tuple(found)


def _gate(advice: Advice, line: int, entry: TestEntry, test: MapTest) -> Gate:
    named = _pointed(test)
    result = next((r for r in advice.evidence.tests if entry.id in r.entries), None)
    if entry.status != "done" or result is None:
        word = _(SHORT_STATUS[entry.status]) if entry.status != "done" else _outcome(advice, entry, test)
        return Gate(line, word, "untested", named)
    view = advice.picture
    favoured = [touch.section for touch in result.touches if touch.direction == "for"]
    role: Role = view.state(max(favoured, key=view.share)) if favoured else "clear"
    return Gate(line, _outcome(advice, entry, test), role, named)


def _outcome(advice: Advice, entry: TestEntry, test: MapTest) -> str:
    return MapNames(advice.section_map).outcome(test.id, entry.outcome)


def _pointed(test: MapTest) -> frozenset[str]:
    first = test.outcomes[0].points_to if test.outcomes else None
    return frozenset(first) if first else frozenset(named_sections(test))


def place_gates(gates: tuple[Gate, ...], pipes: Mapping[Edge, Pipe]) -> tuple[PlacedGate, ...]:
    """Returns the gates that have a pipe: one that leads out of what was pointed to, the longest and least taken."""
    taken: dict[Edge, list[Gate]] = {}
    for gate in gates:
        parting = [edge for edge in pipes if (edge[0] in gate.sections) != (edge[1] in gate.sections)]
        if parting:
            best = min(parting, key=lambda edge: (len(taken.get(edge, ())), -pipes[edge].length(pipes[edge].longest())))
            taken.setdefault(best, []).append(gate)
    return tuple(
        PlacedGate(gate, edge, pipes[edge].longest(), (n + 1) / (len(on) + 1))
        for edge, on in taken.items()
        for n, gate in enumerate(on)
    )
