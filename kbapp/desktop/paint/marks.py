"""Marks of a section's state: word, icon, pattern and colour together. More ink, more suspicion."""

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.tokens import Role, SectionState
from kbapp.wording.terms import term

_WASH: Final[dict[SectionState, Role]] = {
    "clear": "clear_wash", "open": "open_wash", "untested": "untested_wash",
    "leading": "leading_wash", "supported": "supported_wash",
}  # fmt: skip


def draw_pattern(ink: Ink, rect: QRectF, state: SectionState, *, edge: bool = True) -> None:
    """Fills ``rect`` with the pattern of a state, inside a thin edge."""
    painter, colour = ink.painter, ink.look.colour(state)
    painter.save()
    painter.setClipRect(rect, Qt.ClipOperation.IntersectClip)
    painter.fillRect(rect, ink.look.colour(_WASH[state]))
    _PATTERNS[state](painter, rect, colour)
    painter.restore()
    if edge:
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(colour, 1, Qt.PenStyle.DashLine if state == "untested" else Qt.PenStyle.SolidLine))
        painter.drawRect(rect.adjusted(0, 0, -1, -1))
        painter.restore()


def _centre_line(painter: QPainter, rect: QRectF, colour: QColor) -> None:
    painter.setPen(QPen(colour, 1.5))
    middle = rect.center().y()
    painter.drawLine(QPointF(rect.left(), middle), QPointF(rect.right(), middle))


def _level_lines(painter: QPainter, rect: QRectF, colour: QColor) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    painter.setPen(QPen(colour, 1))
    y = rect.top() + 2
    while y < rect.bottom():
        painter.drawLine(QPointF(rect.left(), int(y)), QPointF(rect.right(), int(y)))
        y += 4


def _dots(painter: QPainter, rect: QRectF, colour: QColor) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    y, odd = rect.top() + 3, False
    while y < rect.bottom() + 1:
        x = rect.left() + (6 if odd else 3)
        while x < rect.right() + 1:
            painter.drawEllipse(QPointF(x, y), 1.1, 1.1)
            x += 6
        y, odd = y + 4, not odd


def _hatch(painter: QPainter, rect: QRectF, colour: QColor) -> None:
    painter.setPen(QPen(colour, 2))
    x = rect.left() - rect.height()
    while x < rect.right() + 2:
        painter.drawLine(QPointF(x, rect.bottom()), QPointF(x + rect.height(), rect.top()))
        x += 6


def _solid(painter: QPainter, rect: QRectF, colour: QColor) -> None:
    painter.fillRect(rect, colour)


_PATTERNS: Final[dict[SectionState, Callable[[QPainter, QRectF, QColor], None]]] = {
    "clear": _centre_line, "open": _level_lines, "untested": _dots, "leading": _hatch, "supported": _solid,
}  # fmt: skip


def draw_state(ink: Ink, x: float, middle: float, state: SectionState) -> float:
    """Paints a state's icon and word, the least mark there is; returns its advance."""
    side = ink.look.metrics.icon * 0.86
    font = ink.look.font("small", 600)
    ink.icon(x, middle, f"state_{state}", state, side)
    return side + 6 + ink.text(x + side + 6, middle - 20, term("section_state", state), font, state, height=40)
