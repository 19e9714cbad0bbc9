"""The band at the foot of a pane, with its buttons."""

from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.themed import Painted


class Foot(Painted):
    """Add buttons to ``row``."""

    def __init__(self, theme: Theme) -> None:
        self.row = QHBoxLayout()
        super().__init__(theme)
        self.setLayout(self.row)

    def relook(self) -> None:
        """Takes over height and margins."""
        pad = self.look.metrics.pad
        self.row.setContentsMargins(pad, 4, pad, 4)
        self.setFixedHeight(self.look.metrics.row + 8)

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints band and rule."""
        ink.fill(0, 0, width, height, "band")
        ink.across(0, width, 0, "rule_strong")


class FlowFoot(Painted):
    """A foot whose buttons go on in a second row where the pane is narrow."""

    def __init__(self, theme: Theme) -> None:
        self._row = FlowRow()
        super().__init__(theme)
        self.setLayout(self._row)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def add(self, *buttons: QWidget) -> None:
        """Adds buttons."""
        for button in buttons:
            self._row.addWidget(button)

    def relook(self) -> None:
        """Takes over the margins."""
        pad = self.look.metrics.pad
        self._row.setContentsMargins(pad, 4, pad, 4)
        self._row.invalidate()

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints band and rule."""
        ink.fill(0, 0, width, height, "band")
        ink.across(0, width, 0, "rule_strong")
