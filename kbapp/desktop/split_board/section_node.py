"""A section of the flow as a button: name, share and state in word, icon, pattern and colour."""

from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.marks import draw_pattern, draw_state
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import SectionState
from kbapp.desktop.widgets.themed import Themed
from kbapp.i18n import _
from kbapp.wording.board import short_percent
from kbapp.wording.map_names import percent
from kbapp.wording.terms import term


@dataclass(frozen=True, slots=True)
class NodeFace:
    """What a node shows. Without advice yet, ``share`` is None."""

    section: str
    name: str
    state: SectionState = "untested"
    share: float | None = None

    def spoken(self) -> str:
        """Returns the node as it is read aloud."""
        if self.share is None:
            return self.name
        return _("{section}: {state}, share {share}").format(
            section=self.name, state=term("section_state", self.state), share=percent(self.share)
        )


class SectionNode(QAbstractButton, Themed):
    """One section. ``chosen`` marks the one that the list beside it has picked."""

    def __init__(self, theme: Theme, face: NodeFace, parent: QWidget) -> None:
        super().__init__(parent)
        self.face = face
        self._chosen = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.show_face(face)
        self.bind(theme)

    def show_face(self, face: NodeFace) -> None:
        """Shows other values of the section."""
        self.face = face
        self.setText(face.name)
        self.setAccessibleName(face.spoken())
        self.setToolTip(face.spoken())
        self.update()

    def choose(self, *, chosen: bool) -> None:
        """Marks the node, or no longer."""
        if chosen != self._chosen:
            self._chosen = chosen
            self.update()

    def relook(self) -> None:
        """Takes over fonts."""
        self.update()

    def sizeHint(self) -> QSize:
        """Returns the size the flow gave."""
        return self.size()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the node."""
        painter = QPainter(self)
        ink = Ink(painter, self.look)
        look, metrics, face = self.look, self.look.metrics, self.face
        width, height = self.width(), self.height()
        heavy = face.state in ("leading", "supported")
        dashed = Qt.PenStyle.DashLine if face.state == "untested" else Qt.PenStyle.SolidLine
        painter.setBrush(look.colour("select" if self.isDown() or self._chosen else "page"))
        painter.setPen(QPen(look.colour(face.state), 2.5 if heavy else 1.5, dashed))
        painter.drawRoundedRect(QRectF(1.5, 1.5, width - 3, height - 3), 3, 3)
        strip = round(metrics.icon * 0.75)
        draw_pattern(ink, QRectF(4, 4, strip, height - 8), face.state, edge=False)
        left = strip + 4 + metrics.pad * 0.75
        self._words(ink, left, width - left - 5)
        if face.share is not None:
            middle = height - metrics.pitch * 0.55
            draw_state(ink, left, middle, face.state)
            ink.text(width - metrics.pad, middle - metrics.pitch / 2, short_percent(face.share),
                     look.font("body", 600 if heavy else 400, figures=True), align="right",
                     height=metrics.pitch)  # fmt: skip
        painter.end()

    def _words(self, ink: Ink, left: float, room: float) -> None:
        look, metrics = self.look, self.look.metrics
        lines = max(1, round((self.height() - metrics.pitch * 1.0) / (metrics.pitch * 0.8)))
        font = look.font("body" if lines == 1 else "small", 600)
        broken = wrap(look, self.face.name, font, room) if lines > 1 else (self.face.name,)
        if len(broken) > lines:
            broken = (*broken[: lines - 1], " ".join(broken[lines - 1 :]))
        step = metrics.pitch * 0.8
        top = 2 + (lines - len(broken)) * step / 2
        for line in broken:
            ink.text(left, top, line, font, height=step, room=room)
            top += step
