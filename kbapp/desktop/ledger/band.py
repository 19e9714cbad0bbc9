"""The band at the foot of a page; its buttons go on in the next row where the width ends."""

from collections.abc import Sequence

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.themed import Painted


class Band(Painted):
    """Holds buttons like the words of a line."""

    def __init__(self, theme: Theme, widgets: Sequence[QWidget]) -> None:
        self.flow = FlowRow(6)
        super().__init__(theme)
        self.setLayout(self.flow)
        for widget in widgets:
            self.flow.addWidget(widget)

    def relook(self) -> None:
        """Takes over margins and height."""
        self.fit()
        self.update()

    def fit(self) -> None:
        """Takes the height of its rows; to be called when a button comes, goes or is renamed."""
        pad = self.look.metrics.pad
        self.flow.setContentsMargins(pad, 4, pad, 4)
        self.setFixedHeight(max(self.flow.heightForWidth(max(self.width(), 60)), 8))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Breaks the rows anew."""
        super().resizeEvent(event)
        self.fit()

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints band and rule."""
        ink.fill(0, 0, width, height, "band")
        ink.across(0, width, 0, "rule_strong")
