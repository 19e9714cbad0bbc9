"""The section flow: nodes that are buttons; pipes, arrows and gates painted behind them."""

from collections.abc import Mapping
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainterPath, QPen, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.split_board.flow_gates import Gate, PlacedGate, place_gates
from kbapp.desktop.split_board.flow_grid import Edge, Grid, arrange, layer_count
from kbapp.desktop.split_board.flow_routes import Measures, Pipe, Point, routes
from kbapp.desktop.split_board.section_node import NodeFace, SectionNode
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Painted, Themed
from kbapp.i18n import _
from kbapp.records.section_map import NOT_ON_MAP, SectionMap
from kbapp.wording.board import gate_words
from kbapp.wording.map_names import MapNames

_LEAST_NODE = 13.6
"""The least width of a node, in body points."""
_LEAST_GAP = 4.6
UPRIGHT_COLUMNS = 2


class FlowPage(Painted):
    """The page the flow is drawn on. ``pressed`` is sent with the section of a node."""

    pressed = Signal(str)

    def __init__(self, theme: Theme) -> None:
        self._map: SectionMap | None = None
        self._grid = Grid({}, (), frozenset())
        self._columns = 0
        self._upright = False
        self._pipes: Mapping[Edge, Pipe] = {}
        self._gates: tuple[Gate, ...] = ()
        self._placed: tuple[PlacedGate, ...] = ()
        self._measures = Measures(1, 1, 1, 1, 1)
        self.nodes: dict[str, SectionNode] = {}
        super().__init__(theme)
        self.setAccessibleName(_("Section flow"))

    def show_map(self, section_map: SectionMap | None, room: int, *, upright: bool) -> None:
        """Draws another map, or the same one in other room."""
        fresh = section_map != self._map
        self._map, self._upright = section_map, upright
        if fresh:
            self._renew()
        self.fit(room)

    def _renew(self) -> None:
        for node in self.nodes.values():
            node.hide()
            node.deleteLater()
        self.nodes, self._gates, self._placed, self._columns = {}, (), (), 0
        if self._map is None:
            self._grid = Grid({}, (), frozenset())
            return
        names = MapNames(self._map)
        for section in self._map.hypotheses():
            node = SectionNode(self.theme, NodeFace(section, names.section(section)), self)
            node.clicked.connect(lambda _on=False, name=section: self.pressed.emit(name))
            self.nodes[section] = node

    def show_picture(self, faces: Mapping[str, NodeFace], gates: tuple[Gate, ...]) -> None:
        """Shows other shares, states and gates."""
        for section, face in faces.items():
            if section in self.nodes:
                self.nodes[section].show_face(face)
        self._gates = gates
        self._placed = place_gates(gates, self._pipes)
        self.setAccessibleDescription("\n".join(gate_words(gate.line, gate.word) for gate in gates))
        self.update()

    def choose(self, section: str) -> None:
        """Marks the node of a section."""
        for name, node in self.nodes.items():
            node.choose(chosen=name == section)

    def relook(self) -> None:
        """Takes over measures."""
        if hasattr(self, "nodes"):
            self._columns = 0
            self.fit(self.width())

    def fit(self, room: int) -> None:
        """Lays the nodes out for a width; wider than that only where not even one column fits."""
        if self._map is None:
            self.setMinimumSize(0, 0)
            return
        metrics = self.look.metrics
        least, gap, pad = metrics.body * _LEAST_NODE, metrics.body * _LEAST_GAP, metrics.pad + 4
        fitting = max(1, int((room - 2 * pad + gap) // (least + gap)))
        columns = min(fitting, layer_count(self._map), UPRIGHT_COLUMNS if self._upright else 99)
        if columns != self._columns:
            self._columns = columns
            self._grid = arrange(self._map, max(1, columns))
        self._measure(room, pad)

    def _measure(self, room: int, pad: int) -> None:
        metrics, columns = self.look.metrics, self._grid.columns
        widest = metrics.body * 16.5
        gap = max(metrics.body * _LEAST_GAP, (room - 2 * pad) * 0.115)
        width = min(widest, (room - 2 * pad - (columns - 1) * gap) / columns)
        if columns > 1:
            gap = (room - 2 * pad - columns * width) / (columns - 1)
        height = round(metrics.pitch * 2.7)
        self._measures = Measures(width, height, gap, metrics.pitch * 1.5, pad)
        self._pipes = routes(self._grid, self._measures)
        self._placed = place_gates(self._gates, self._pipes)
        for section, cell in self._grid.cells.items():
            if section in self.nodes:
                x, y = self._measures.left(cell.column), self._measures.top(cell.row)
                self.nodes[section].setGeometry(round(x), round(y), round(width), round(height))
                self.nodes[section].show()
        self._order_tabs()
        under = any(cell.row == self._grid.rows - 1 and name != NOT_ON_MAP and self._loops(name)
                    for name, cell in self._grid.cells.items())  # fmt: skip
        tall = self._measures.top(self._grid.rows - 1) + height + pad + (metrics.pitch if under else 0)
        self.setMinimumHeight(round(tall))
        self.update()

    def _loops(self, name: str) -> bool:
        return any(edge[0] == name for edge in self._grid.loops)

    def _order_tabs(self) -> None:
        ordered = sorted(self.nodes, key=lambda name: (self._grid.cells[name].row, self._grid.cells[name].column))
        for one, other in pairwise(ordered):
            QWidget.setTabOrder(self.nodes[one], self.nodes[other])

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints page, pipes, arrows and gates."""
        ink.fill(0, 0, width, height, "page")
        ink.ruling(0, height, width)
        heads = [self._head(pipe.points) for pipe in self._pipes.values()]
        paths = [self._path(pipe.points) for pipe in self._pipes.values()]
        painter = ink.painter
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for thick, role in ((9, "page"), (3, "ink2")):
            pen = QPen(self.look.colour("page" if role == "page" else "ink2"), thick)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.setPen(pen)
            for path in paths:
                painter.drawPath(path)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.look.colour("ink2"))
        for head in heads:
            painter.drawPolygon(head)
        for placed in self._placed:
            self._draw_gate(ink, placed)

    def _unit(self, points: tuple[Point, ...]) -> tuple[float, float]:
        (x1, y1), (x2, y2) = points[-2], points[-1]
        length = abs(x2 - x1) + abs(y2 - y1) or 1.0
        return (x2 - x1) / length, (y2 - y1) / length

    def _head(self, points: tuple[Point, ...]) -> QPolygonF:
        long, wide = self.look.metrics.icon / 2, self.look.metrics.icon * 0.28
        (ux, uy), (x, y) = self._unit(points), points[-1]
        base = QPointF(x - ux * long, y - uy * long)
        side = QPointF(uy * wide, ux * wide)
        return QPolygonF([QPointF(x, y), base + side, base - side])

    def _path(self, points: tuple[Point, ...]) -> QPainterPath:
        (ux, uy), back = self._unit(points), self.look.metrics.icon / 2 - 2
        ends = [*points[:-1], (points[-1][0] - ux * back, points[-1][1] - uy * back)]
        path = QPainterPath(QPointF(*ends[0]))
        for point in ends[1:]:
            path.lineTo(*point)
        return path

    def _draw_gate(self, ink: Ink, placed: PlacedGate) -> None:
        look, painter, gate = self.look, ink.painter, placed.gate
        pipe = self._pipes[placed.edge]
        (x1, y1), (x2, y2) = pipe.points[placed.stretch], pipe.points[placed.stretch + 1]
        x, y = x1 + (x2 - x1) * placed.part, y1 + (y2 - y1) * placed.part
        upright = abs(x2 - x1) < 1
        reach = look.metrics.icon * 0.44
        for offset, thick, role in ((0, 8, "page"), (-3, 3, gate.role), (3, 3, gate.role)):
            painter.setPen(QPen(look.colour("page" if role == "page" else gate.role), thick))
            ends = (
                ((x - reach, y + offset), (x + reach, y + offset))
                if upright
                else ((x + offset, y - reach), (x + offset, y + reach))
            )
            painter.drawLine(QPointF(*ends[0]), QPointF(*ends[1]))
        share = pipe.length(placed.stretch) / max(1, sum(p.edge == placed.edge for p in self._placed))
        self._label(ink, gate, x, y, reach, upright=upright, room=share)

    def _label(self, ink: Ink, gate: Gate, x: float, y: float, reach: float, *, upright: bool, room: float) -> None:
        look = self.look
        font, mono = look.font("small", 600), look.mono("small")
        tall = look.measure(font).height()
        number = f"{gate.line} "
        most = (self._measures.gap_x * 1.6 if upright else room + 2) - ink.width(number, mono)
        words = look.measure(font).elidedText(gate.word, Qt.TextElideMode.ElideRight, max(0.0, most))
        if ink.width(words, font) > most or len(words) < 3:
            words = ""
        wide = ink.width(number, mono) + ink.width(words, font)
        left, top = (x + reach + 5, y - tall / 2) if upright else (x - wide / 2, y - reach - tall - 1)
        left = max(2.0, min(left, self.width() - wide - 2))
        ink.painter.fillRect(QRectF(left - 2, top, wide + 4, tall), look.colour("page"))
        used = ink.text(left, top, number, mono, "ink2", height=tall)
        ink.text(left + used, top, words, font, gate.role, height=tall)


class FlowView(QScrollArea, Themed):
    """Scrolls the flow where it is larger than its pane. ``pressed`` is sent with a section."""

    pressed = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._map: SectionMap | None = None
        self._upright = False
        self.page = FlowPage(theme)
        self.page.pressed.connect(self.pressed)
        self.setWidget(self.page)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(_("Section flow"))
        self.bind(theme)

    def relook(self) -> None:
        """Scrolls by ruled lines."""
        self.verticalScrollBar().setSingleStep(self.look.metrics.pitch)

    def show_map(self, section_map: SectionMap | None, *, upright: bool) -> None:
        """Draws another map."""
        self._map, self._upright = section_map, upright
        self.page.show_map(section_map, self._room(), upright=upright)

    def _room(self) -> int:
        bar = self.verticalScrollBar()
        return self.width() - (bar.sizeHint().width() if bar.isVisible() else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lays the flow out for the new width."""
        super().resizeEvent(event)
        self.page.fit(self.viewport().width())

    def sizeHint(self) -> QSize:
        """Returns room for the whole flow."""
        return QSize(400, self.page.minimumHeight())
