"""A timer for what may be energised only for seconds: holds, then cools down. Every figure is the user's own."""

from typing import Literal

from PySide6.QtCore import QElapsedTimer, QTimer
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.split_board.button_row import ButtonRow
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.i18n import _
from kbapp.records.number_text import read_number

Phase = Literal["ready", "holding", "cooling"]
TICK_MS = 200


class HoldTimer(QWidget):
    """Counts down the hold, then the cool-down; starts again only after it."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.phase: Phase = "ready"
        self.holds = 0
        self._clock = QElapsedTimer()
        self._timer = QTimer(self)
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self.tick)
        self.hold = ValueEdit(theme, _("Hold, seconds"))
        self.hold.setPlaceholderText(_("hold, s"))
        self.cool = ValueEdit(theme, _("Cool down, minutes"))
        self.cool.setPlaceholderText(_("cool down, min"))
        for edit in (self.hold, self.cool):
            edit.setMaximumWidth(theme.look.metrics.row * 4)
            edit.textChanged.connect(self._say)
        self.button = Button(theme, _("Start the hold"), "plain", "clock")
        self.button.clicked.connect(self._pressed)
        self.row = ButtonRow(theme, (self.hold, self.cool, self.button))
        self.words = TextLabel(theme, "", "small", "ink2", wrap=True)
        self.words.setContentsMargins(theme.look.metrics.pad + 2, 0, theme.look.metrics.pad, 4)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.row)
        column.addWidget(self.words)
        self.setAccessibleName(_("Hold timer"))
        self._say()

    def _figures(self) -> tuple[float, float] | None:
        hold, cool = read_number(self.hold.text()), read_number(self.cool.text())
        return (hold, cool) if hold is not None and cool is not None and hold > 0 and cool > 0 else None

    def _pressed(self) -> None:
        if self.phase == "holding":
            self._begin("cooling")
        elif self.phase == "ready" and self._figures() is not None:
            self.holds += 1
            self._begin("holding")

    def _begin(self, phase: Phase) -> None:
        self.phase = phase
        self._clock.start()
        self._timer.start()
        self._say()

    def left(self) -> float:
        """Returns the seconds left of this phase."""
        figures = self._figures()
        if figures is None or self.phase == "ready":
            return 0.0
        whole = figures[0] if self.phase == "holding" else figures[1] * 60
        return max(0.0, whole - self._clock.elapsed() / 1000)

    def tick(self) -> None:
        """Looks at the clock."""
        if self.left() > 0:
            self._say()
        elif self.phase == "holding":
            self._begin("cooling")
        else:
            self.stop()

    def stop(self) -> None:
        """Ends counting."""
        self._timer.stop()
        self.phase = "ready"
        self._say()

    def _say(self) -> None:
        ready = self._figures() is not None
        self.button.setEnabled(ready and self.phase != "cooling")
        self.button.setText(_("Let go") if self.phase == "holding" else _("Start the hold"))
        for edit in (self.hold, self.cool):
            edit.setReadOnly(self.phase != "ready")
        left = self.left()
        if self.phase == "holding":
            words = _("Hold {n} of this test: {seconds} s left").format(n=self.holds, seconds=f"{left:.0f}")
        elif self.phase == "cooling":
            words = _("Cooling down: {minutes}:{seconds} left").format(
                minutes=int(left // 60), seconds=f"{int(left % 60):02d}"
            )
        elif not ready:
            words = _("Enter both times as the vehicle maker states them; none is filled in for you.")
        else:
            words = _("Ready. Held {n} times so far.").format(n=self.holds)
        self.words.setText(words)

    def hideEvent(self, event: QHideEvent) -> None:
        """Stops the clock's ticking while nobody sees it; the phase goes on by the clock."""
        self._timer.stop()
        super().hideEvent(event)

    def showEvent(self, event: object) -> None:
        """Goes on counting."""
        if self.phase != "ready":
            self._timer.start()
