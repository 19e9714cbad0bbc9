"""Our own line icons on a grid of 24, drawn by QtSvg in any colour and size."""

from functools import lru_cache
from typing import Final

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.tokens import Role

# INK stands for the stroke colour where a shape is filled.
SHAPES: Final[dict[str, str]] = {
    # screens and commands
    "look": '<path d="M3 5h10M3 10h5M3 15h5M3 20h8"/>'
    '<circle cx="14.5" cy="12.500" r="4.500"/><path d="M18 16l3.500 4"/>',
    "bench": '<path d="M3 8h18v4H3zM5.500 12v8M18.500 12v8M8 8V4h8v4M5.500 16h13"/>',
    "settings": '<path d="M4 7h9M17 7h3M4 17h3M11 17h9"/><circle cx="15" cy="7" r="2"/><circle cx="9" cy="17" r="2"/>',
    "book": '<path d="M5 4h11a3 3 0 0 1 3 3v13H8a3 3 0 0 1-3-3zM5 17a3 3 0 0 1 3-3h11M9 8h6"/>',
    "compare": '<path d="M3 5h7v14H3zM14 5h7v14h-7zM5.500 9h2M5.500 12h2M16.500 9h2M16.500 15h2"/>',
    "crate": '<path d="M3 8l3-4h12l3 4v12H3zM3 8h18M3 14h18M9 8v12M15 8v12"/>',
    "folder": '<path d="M3 6h6l2 3h10v10H3z"/>',
    "sheet": '<path d="M6 3h9l4 4v14H6zM15 3v4h4M9 11h7M9 14.500h7M9 18h4"/>',
    "ledger": '<path d="M5 3h14v18H5zM9 3v18M12 8h4M12 12h4M12 16h4"/>',
    "phone": '<path d="M6 3h4l1.500 5-2.500 1.500a12 12 0 0 0 5.500 5.500L16 12.500l5 1.500v4a2.500 2.500 0 0 1-3 2.500'
    'A17 17 0 0 1 3.500 6 2.500 2.500 0 0 1 6 3z"/>',
    "jot": '<path d="M4 20h16M4 15h5M4 10h4M12 15.500l1-4L20 4.500l3 3-7 7z"/>',
    "split": '<path d="M3 12h6M9 12l4-7h8M9 12l4 7h8M13 12h8"/><circle cx="9" cy="12" r="1.6" fill="INK"/>',
    "map": '<path d="M4 5h6v5H4zM14 14h6v5h-6zM7 10v6.500h7M10 7.500h7V14"/>',
    "kit": '<path d="M3 9h18v11H3zM9 9V5h6v4M3 14h7M14 14h7M10 12.500h4v3h-4z"/>',
    "print": '<path d="M7 9V3h10v6M7 17H3V9h18v8h-4M7 14h10v7H7z"/>',
    "undo": '<path d="M9 6L4 11l5 5M4 11h10a6 6 0 0 1 6 6v1"/>',
    "redo": '<path d="M15 6l5 5-5 5M20 11H10a6 6 0 0 0-6 6v1"/>',
    "attach": '<path d="M8 12.500l6.500-6.500a3.200 3.200 0 0 1 4.500 4.500l-8.500 8.500a5 5 0 0 1-7-7L12 3.500"/>',
    "menu": '<path d="M4 7h16M4 12h16M4 17h16"/>',
    "help": '<circle cx="12" cy="12" r="9"/><path d="M9.500 9.700a2.600 2.600 0 1 1 3.900 2.200'
    'c-1 .6-1.400 1.100-1.400 2.100"/>'
    '<circle cx="12" cy="17" r=".6" fill="INK"/>',
    "keys": '<path d="M3 7h18v10H3zM6.500 10.500h.1M10 10.500h.1M14 10.500h.1M17.500 10.500h.1M8 14h8"/>',
    "plus": '<path d="M12 5v14M5 12h14"/>',
    "x": '<path d="M6 6l12 12M18 6L6 18"/>',
    "tick": '<path d="M4 13l5 5L20 6"/>',
    "clock": '<circle cx="12" cy="12" r="8.5"/><path d="M12 7v5l4 2"/>',
    "right": '<path d="M5 12h14M13 6l6 6-6 6"/>',
    "left": '<path d="M19 12H5M11 6l-6 6 6 6"/>',
    "down": '<path d="M6 9l6 6 6-6"/>',
    "forward": '<path d="M9 6l6 6-6 6"/>',
    "copy": '<path d="M9 8h11v13H9zM9 16H4V3h11v5"/>',
    "narrow": '<path d="M4 6h16M7 12h10M10 18h4"/>',
    # kinds of lines
    "part": '<path d="M12 3l8 4.500v9L12 21l-8-4.500v-9zM4 7.500l8 4.500 8-4.500M12 12v9"/>',
    "service": '<path d="M7 4h10M9 4v5l-4 8a3 3 0 0 0 3 4h8a3 3 0 0 0 3-4l-4-8V4M7 15h10"/>',
    "test": '<path d="M4 17a8 8 0 0 1 16 0M12 17l4-6M4 20h16"/><circle cx="12" cy="17" r="1.4" fill="INK"/>',
    "finding": '<path d="M3 12s3.500-6 9-6 9 6 9 6-3.500 6-9 6-9-6-9-6z"/><circle cx="12" cy="12" r="2.600"/>',
    "note": '<path d="M5 19l1-5L16 4l4 4L10 18zM14 6l4 4"/>',
    "concern": '<path d="M4 5h16v11H11l-4 4v-4H4zM8 9h8M8 12h5"/>',
    # marks
    "guard": '<path d="M12 3.500L22 20H2zM12 10v5"/><circle cx="12" cy="17.600" r=".6" fill="INK"/>',
    "info": '<circle cx="12" cy="12" r="9"/><path d="M12 11v6"/><circle cx="12" cy="7.600" r=".6" fill="INK"/>',
    "back": '<path d="M20 7H9a5 5 0 0 0 0 10h8M13 3L9 7l4 4"/>',
    "seal": '<circle cx="12" cy="12" r="8.500"/><path d="M8 12.500l3 3 5-6.500"/>',
    "unable": '<circle cx="12" cy="12" r="8.500"/><path d="M6 6l12 12"/>',
    "state_clear": '<path d="M3.500 13l5.500 5.500L20.500 6" stroke-width="2.6"/>',
    "state_open": '<circle cx="12" cy="12" r="8" stroke-width="2.2"/>',
    "state_untested": '<circle cx="12" cy="12" r="9" stroke-width="2" stroke-dasharray="3.2 2.45"/>'
    '<path d="M9.300 9.600a2.800 2.800 0 1 1 4.200 2.400c-1 .6-1.500 1.100-1.500 2.200" stroke-width="2"/>'
    '<circle cx="12" cy="17" r=".7" fill="INK"/>',
    "state_leading": '<path d="M5 3.500v17M5 4.500l15 6-15 6z" fill="INK" stroke-width="2"/>',
    "state_supported": '<path d="M12 2.500L21.500 12 12 21.500 2.500 12z" fill="INK"/>',
}


@lru_cache(maxsize=512)
def _renderer(name: str, colour: str, stroke: float) -> QSvgRenderer:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24" fill="none" '
        f'stroke="{colour}" stroke-width="{stroke}" stroke-linecap="round" stroke-linejoin="round">'
        f"{SHAPES[name].replace('INK', colour)}</svg>"
    )
    return QSvgRenderer(QByteArray(svg.encode()))


def draw_icon(painter: QPainter, name: str, rect: QRectF, colour: QColor, stroke: float) -> None:
    """Paints an icon into ``rect``."""
    _renderer(name, colour.name(), stroke).render(painter, rect)


def icon(look: Look, name: str, role: Role = "ink", *, gap: int = 0) -> QIcon:
    """Returns an icon for a button, at twice the resolution; ``gap`` pixels of air stand to its right."""
    made = QIcon()
    for mode, ink in ((QIcon.Mode.Normal, role), (QIcon.Mode.Disabled, "disabled")):
        made.addPixmap(_pixmap(look, name, look.colour(ink), gap), mode)
    return made


def _pixmap(look: Look, name: str, colour: QColor, gap: int) -> QPixmap:
    side = look.metrics.icon
    pixmap = QPixmap(QSize((side + gap) * 2, side * 2))
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    draw_icon(painter, name, QRectF(0, 0, side * 2, side * 2), colour, look.metrics.stroke)
    painter.end()
    pixmap.setDevicePixelRatio(2)
    return pixmap
