"""The band at the foot of a pane, with its buttons."""

from PySide6.QtWidgets import QHBoxLayout

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
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
