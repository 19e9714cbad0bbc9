"""Stamps: a word in slab capitals inside an edge, with an icon; how a state or an outcome is marked."""

from dataclasses import dataclass
from typing import Final, Literal

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QPen

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.tokens import Role
from kbapp.i18n import _
from kbapp.records.vocabulary import State
from kbapp.wording.terms import term

Edge = Literal["single", "double", "dashed"]


@dataclass(frozen=True, slots=True)
class Stamp:
    """What a stamp says and how: word (shown in capitals), colour role, edge, icon."""

    word: str
    role: Role
    edge: Edge = "single"
    icon: str = ""


_STATES: Final[dict[State, tuple[Role, Edge, str]]] = {
    "open": ("ink2", "single", "state_open"),
    "repaired": ("accent", "single", "clock"),
    "proved": ("good", "double", "seal"),
    "came_back": ("danger", "single", "back"),
    "withdrawn": ("ink3", "dashed", "x"),
}


def state_stamp(state: State, *, signed_here: bool = True) -> Stamp:
    """Returns the stamp of a case's state; one signed by another shop has a single edge and says so."""
    role, edge, icon = _STATES[state]
    if state == "proved" and not signed_here:
        return Stamp(_("Proved elsewhere"), role, "single", icon)
    return Stamp(term("state", state), role, edge, icon)


def _font(look: Look) -> QFont:
    return look.slab("stamp", 106)


def stamp_width(look: Look, stamp: Stamp) -> float:
    """Returns the width of a stamp in pixels."""
    metrics = look.measure(_font(look))
    return metrics.horizontalAdvance(stamp.word.upper()) + (metrics.height() + 4 if stamp.icon else 0) + 14


def draw_stamp(ink: Ink, x: float, middle: float, stamp: Stamp, *, right: bool = False) -> float:
    """Paints a stamp centred on ``middle``, its left (or ``right``) edge at ``x``; returns its width."""
    painter, look = ink.painter, ink.look
    font = _font(look)
    line = look.measure(font).height()
    width = stamp_width(look, stamp)
    rect = QRectF(x - width if right else x, middle - line / 2 - 3, width, line + 6)
    dashed = Qt.PenStyle.DashLine if stamp.edge == "dashed" else Qt.PenStyle.SolidLine
    painter.save()
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(look.colour(stamp.role), 1.5, dashed))
    painter.drawRoundedRect(rect, 2, 2)
    if stamp.edge == "double":
        painter.setPen(QPen(look.colour(stamp.role), 1))
        painter.drawRoundedRect(rect.adjusted(-2.5, -2.5, 2.5, 2.5), 3, 3)
    left = rect.left() + 7
    if stamp.icon:
        ink.icon(left, middle, stamp.icon, stamp.role, line - 1, 2.2)
        left += line + 4
    ink.text(left, rect.top(), stamp.word.upper(), font, stamp.role, height=rect.height())
    painter.restore()
    return width
