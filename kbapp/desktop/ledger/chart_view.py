"""Draws a chart with pyqtgraph on our own tokens. Imported only when a chart is first shown: it is slow to load."""

from typing import Any, Final

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from kbapp.desktop.ledger.chart_data import Chart, Mark, Series
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.tokens import Role
from kbapp.wording.map_names import percent

_INKS: Final[tuple[Role, ...]] = ("open", "leading")
"""Blue and amber: the pair that stays apart under every kind of colour blindness, and in grey by mark and line."""
_SYMBOLS: Final[dict[Mark, str]] = {"circle": "o", "square": "s"}
_LINES: Final = (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine)


class ChartView(QWidget):
    """Shows one chart in one look; it cannot be dragged or zoomed, and never takes the focus."""

    def __init__(self, look: Look, chart: Chart) -> None:
        super().__init__()
        self._look = look
        self.chart = chart
        self.plot: Any = pg.PlotWidget()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.plot)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._ground()
        self._axes()
        if chart.diagonal:
            self._line(np.array([0.0, 1.0]), np.array([0.0, 1.0]), "rule_strong", Qt.PenStyle.DotLine)
        for n, series in enumerate(chart.series):
            self._series(series, _INKS[n % len(_INKS)], _LINES[n % len(_LINES)])
        self._range()

    def sizeHint(self) -> QSize:
        """Returns a height that leaves room for axis and words."""
        return QSize(320, self._look.pitches(9))

    def _ground(self) -> None:
        self.plot.setBackground(self._look.hex("page"))
        self.plot.setFrameShape(self.plot.Shape.NoFrame)
        self.plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.plot.setAccessibleName(self.chart.title)
        self.plot.setAccessibleDescription(self.chart.summary())
        self.setAccessibleName(self.chart.title)
        self.setAccessibleDescription(self.chart.summary())
        item = self.plot.getPlotItem()
        item.setMenuEnabled(False)
        item.hideButtons()
        item.setMouseEnabled(False, False)
        item.getViewBox().setAcceptHoverEvents(False)
        self.plot.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        if len(self.chart.series) > 1:
            legend = item.addLegend(offset=(-10, 4), labelTextColor=self._look.hex("ink"))
            legend.setLabelTextSize(f"{self._look.metrics.small}pt")
            legend.setColumnCount(len(self.chart.series))

    def _axes(self) -> None:
        small = self._look.font("small", figures=True)
        style = {"color": self._look.hex("ink2"), "font-size": f"{self._look.metrics.small}pt"}
        for side, name in (("bottom", self.chart.x_name), ("left", self.chart.y_name)):
            axis = self.plot.getAxis(side)
            axis.setPen(pg.mkPen(self._look.hex("rule_strong"), width=1))
            axis.setTextPen(pg.mkPen(self._look.hex("ink2")))
            axis.setTickFont(small)
            axis.setLabel(name, **style)
            axis.enableAutoSIPrefix(False)
        fifths = [(n / 5, percent(n / 5)) for n in range(6)]
        self.plot.getAxis("left").setStyle(maxTickLevel=0)
        if self.chart.percent:
            self.plot.getAxis("left").setTicks([fifths])
        if self.chart.diagonal:
            self.plot.getAxis("bottom").setTicks([fifths])

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Names as many places of the axis as have room."""
        super().resizeEvent(event)
        if self.chart.ticks:
            font = self._look.measure(self._look.font("small", figures=True))
            wide = max(font.horizontalAdvance(words) for _place, words in self.chart.ticks) + 14
            step = max(1, round(-(-len(self.chart.ticks) * wide // max(1, self.width() - 90))))
            self.plot.getAxis("bottom").setTicks([list(self.chart.ticks)[::step]])

    def _range(self) -> None:
        self.plot.disableAutoRange()
        if self.chart.diagonal:
            self.plot.setXRange(0, 1, padding=0.03)
        elif self.chart.kind == "steps":
            self.plot.setXRange(0, max(p.x for s in self.chart.series for p in s.points), padding=0.05)
        else:
            ends = [p.x for s in self.chart.series for p in s.points]
            self.plot.setXRange(min(ends) - 0.6, max(ends) + 0.6, padding=0)
        top = 1.0 if self.chart.percent else max(p.high for s in self.chart.series for p in s.points)
        room = top * 1.25 if len(self.chart.series) > 1 else top  # the legend stands above the points
        self.plot.setYRange(0, room, padding=0.06)

    def _line(self, x: Any, y: Any, role: Role, style: Qt.PenStyle, width: float = 1.5) -> None:
        self.plot.plot(x, y, pen=pg.mkPen(self._look.hex(role), width=width, style=style))

    def _series(self, series: Series, role: Role, style: Qt.PenStyle) -> None:
        if not series.points:
            return
        x = np.array([point.x for point in series.points])
        y = np.array([point.y for point in series.points])
        colour = self._look.hex(role)
        if self.chart.kind == "bars":
            bars = pg.BarGraphItem(x=x, height=y, width=0.7, brush=self._look.hex("leading_wash"), pen=pg.mkPen(colour))
            self.plot.addItem(bars)
            return
        if self.chart.kind == "steps":
            self._line(np.repeat(np.append(0.0, x), 2)[1:], np.repeat(np.append(0.0, y), 2)[:-1], role, style, 2)
        else:
            self._intervals(series, x, y, colour)
        self.plot.plot(
            x, y, name=series.name, pen=None,
            symbol=_SYMBOLS[series.mark], symbolSize=8, symbolPen=pg.mkPen(colour, width=1.5),
            symbolBrush=colour if series.mark == "circle" else self._look.hex("page"),
        )  # fmt: skip

    def _intervals(self, series: Series, x: Any, y: Any, colour: str) -> None:
        low = np.array([point.low for point in series.points])
        high = np.array([point.high for point in series.points])
        shift = 0.0 if series.mark == "circle" else 0.12 if not self.chart.diagonal else 0.0
        bars = pg.ErrorBarItem(
            x=x + shift, y=y, top=high - y, bottom=y - low, beam=0.0, pen=pg.mkPen(colour, width=1)
        )  # fmt: skip
        self.plot.addItem(bars)
