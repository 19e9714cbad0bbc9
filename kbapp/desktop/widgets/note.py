"""Notes: what is empty, under way or went wrong, written on the page itself; never a box in the way."""

from collections.abc import Sequence
from typing import Literal

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.themed import Painted

Tone = Literal["plain", "info", "caution", "danger", "good"]
_ROLES: dict[Tone, Role] = {
    "plain": "ink2", "info": "info", "caution": "caution", "danger": "danger", "good": "good",
}  # fmt: skip


class Note(Painted):
    """An icon in the margin, a fact, a line of help, buttons; ``progress`` (0 to 1) adds a bar."""

    def __init__(
        self,
        theme: Theme,
        icon: str,
        tone: Tone,
        fact: str,
        hint: str = "",
        buttons: Sequence[QWidget] = (),
        progress: float | None = None,
    ) -> None:
        self._icon, self._tone, self._fact, self._hint = icon, tone, fact, hint
        self._progress = progress
        self._buttons = tuple(buttons)
        super().__init__(theme)
        for button in self._buttons:
            button.setParent(self)
            button.show()
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.say(fact, hint)

    def say(self, fact: str, hint: str = "", progress: float | None = None) -> None:
        """Changes the words and the bar."""
        self._fact, self._hint, self._progress = fact, hint, progress
        self.setAccessibleName(f"{fact} {hint}".strip())
        self.updateGeometry()
        self.update()

    def text(self) -> str:
        """Returns fact and help."""
        return f"{self._fact} {self._hint}".strip()

    def relook(self) -> None:
        """Takes over fonts and heights."""
        self.updateGeometry()
        self.update()

    @property
    def _left(self) -> int:
        return self.look.metrics.margin + 14

    def _lines(self, text: str, width: int, *, bold: bool) -> tuple[str, ...]:
        font = self.look.font("body", 600) if bold else self.look.font("small")
        return wrap(self.look, text, font, width - self._left - 8) if text else ()

    def _heights(self, width: int) -> tuple[int, int, int]:
        pitch = self.look.metrics.pitch
        fact = len(self._lines(self._fact, width, bold=True)) * pitch
        hint = len(self._lines(self._hint, width, bold=False)) * pitch
        bar = pitch if self._progress is not None else 0
        return fact, hint, bar

    def heightForWidth(self, width: int) -> int:
        """Returns a whole number of pitches, and the buttons' rows below."""
        rows = self._place_buttons(width, move=False)
        return sum(self._heights(width)) + rows * (self.look.metrics.row + 4) + (4 if rows else 0)

    def sizeHint(self) -> QSize:
        """Returns the size at the present width."""
        width = max(self.width(), 240)
        return QSize(240, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        """Returns a width that never pushes a pane wider."""
        return QSize(120, self.heightForWidth(max(self.width(), 120)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Places the buttons anew."""
        super().resizeEvent(event)
        self._place_buttons(self.width(), move=True)
        self.updateGeometry()

    def _place_buttons(self, width: int, *, move: bool) -> int:
        top = sum(self._heights(width)) + 4
        x, rows = self._left, 0
        for button in self._buttons:
            size = button.sizeHint().expandedTo(button.minimumSize())
            if rows == 0 or (x + size.width() > width and x > self._left):
                x, rows = self._left, rows + 1
            if move:
                wide = min(size.width(), max(44, width - x - 4))
                button.setGeometry(x, top + (rows - 1) * (self.look.metrics.row + 4), wide, self.look.metrics.row)
            x += size.width() + 8
        return rows

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the note on the ruled page."""
        look, pitch = self.look, self.look.metrics.pitch
        ink.fill(0, 0, width, height, "page")
        ink.ruling(0, height, width)
        ink.margin(0, height)
        role = _ROLES[self._tone]
        ink.icon(look.metrics.margin - look.metrics.icon - 8, pitch / 2 + 1, self._icon, role)
        fact, hint, bar = self._heights(width)
        self._draw_lines(ink, 0, self._fact, role if self._tone == "danger" else "ink", bold=True)
        self._draw_lines(ink, fact, self._hint, "ink2", bold=False)
        if bar:
            room = width - self._left - 24
            ink.fill(self._left, fact + hint + pitch / 2 - 2, room, 4, "rule_strong")
            ink.fill(self._left, fact + hint + pitch / 2 - 2, room * (self._progress or 0), 4, "accent")

    def _draw_lines(self, ink: Ink, top: int, text: str, role: Role, *, bold: bool) -> None:
        font = self.look.font("body", 600) if bold else self.look.font("small")
        pitch = self.look.metrics.pitch
        for row, line in enumerate(self._lines(text, self.width(), bold=bold)):
            ink.text(self._left, top + row * pitch, line, font, role, height=pitch)
