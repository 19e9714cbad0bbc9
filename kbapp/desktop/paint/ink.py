"""A pen that knows the look: elided text on a line, ruling, the double margin line, icons."""

from typing import Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QPen

from kbapp.desktop.theme.icons import draw_icon
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.tokens import Role

Align = Literal["left", "right", "centre"]


class Ink:
    """Paints with one painter in one look."""

    def __init__(self, painter: QPainter, look: Look) -> None:
        self.painter = painter
        self.look = look
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def width(self, text: str, font: QFont) -> float:
        """Returns the advance of a text."""
        return self.look.measure(font).horizontalAdvance(text)

    def text(
        self,
        x: float,
        top: float,
        text: str,
        font: QFont,
        role: Role = "ink",
        *,
        height: float | None = None,
        room: float | None = None,
        align: Align = "left",
    ) -> float:
        """Paints one line centred in ``height`` below ``top``, elided to ``room``; returns its advance."""
        metrics = self.look.measure(font)
        if room is not None:
            text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, max(0.0, room))
        advance = metrics.horizontalAdvance(text)
        left = x - {"left": 0.0, "right": advance, "centre": advance / 2}[align]
        slack = (metrics.height() if height is None else height) - metrics.height()
        self.painter.setFont(font)
        self.painter.setPen(self.look.colour(role))
        self.painter.drawText(QPointF(left, top + slack / 2 + metrics.ascent()), text)
        return advance

    def fill(self, x: float, y: float, width: float, height: float, role: Role) -> None:
        """Fills a rectangle with hard edges."""
        self.painter.save()
        self.painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        self.painter.fillRect(QRectF(int(x), int(y), int(width), int(height)), self.look.colour(role))
        self.painter.restore()

    def across(self, x1: float, x2: float, y: float, role: Role = "rule", thick: int = 1) -> None:
        """Rules a level line."""
        self.fill(x1, y, x2 - x1, thick, role)

    def dashes(self, x1: float, x2: float, y: float, role: Role, thick: int = 2) -> None:
        """Rules a dashed level line."""
        self.painter.save()
        self.painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        self.painter.setPen(QPen(self.look.colour(role), thick, Qt.PenStyle.DashLine))
        self.painter.drawLine(QPointF(x1, int(y)), QPointF(x2, int(y)))
        self.painter.restore()

    def margin(self, y1: float, y2: float) -> None:
        """Draws the double margin line."""
        for x in (self.look.metrics.margin, self.look.metrics.margin + 3):
            self.fill(x, y1, 1, y2 - y1, "margin")

    def ruling(self, y1: float, y2: float, width: float) -> None:
        """Rules every pitch from ``y1`` down to ``y2``, starting one pitch below ``y1``."""
        y = y1 + self.look.metrics.pitch
        while y <= y2:
            self.across(0, width, y - 1)
            y += self.look.metrics.pitch

    def icon(
        self, x: float, middle: float, name: str, role: Role, side: float | None = None, stroke: float | None = None
    ) -> None:
        """Paints an icon with its left edge at ``x``, centred on ``middle``."""
        size = self.look.metrics.icon if side is None else side
        rect = QRectF(x, middle - size / 2, size, size)
        draw_icon(self.painter, name, rect, self.look.colour(role), stroke or self.look.metrics.stroke)
