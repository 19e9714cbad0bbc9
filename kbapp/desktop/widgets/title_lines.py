"""Plain titled lines for short lists: help pages, examples, kept jots."""

from dataclasses import dataclass

from PySide6.QtCore import QRectF

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.widgets.lines import LineDelegate


@dataclass(frozen=True, slots=True)
class TitleLine:
    """A line with a title, a key of its own, a remark below and an icon."""

    key: str
    title: str
    remark: str = ""
    icon: str = ""


class TitleDelegate(LineDelegate[TitleLine]):
    """Writes title over remark, or the title alone in the middle of the line."""

    margin = False

    def line(self, ink: Ink, row: TitleLine, rect: QRectF) -> None:
        """Writes a row."""
        look, pad = ink.look, ink.look.metrics.pad + 4
        left = rect.left() + pad
        if row.icon:
            ink.icon(left, rect.center().y(), row.icon, "ink2")
            left += look.metrics.icon + 10
        room = rect.right() - left - pad
        if not row.remark:
            ink.text(left, rect.top(), row.title, look.font("body", 500), height=rect.height() - 1, room=room)
            return
        pitch = look.metrics.pitch
        ink.text(left, rect.top() + 1, row.title, look.font("body", 500), height=pitch, room=room)
        ink.text(left, rect.top() + pitch, row.remark, look.font("small"), "ink2", height=pitch * 0.9, room=room)
