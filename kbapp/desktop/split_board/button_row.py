"""Buttons side by side on the page, going on in the next row where the width ends."""

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.themed import Painted


class ButtonRow(Painted):
    """Holds widgets like words of a line; ``ground`` is the colour behind them."""

    def __init__(self, theme: Theme, widgets: Sequence[QWidget] = (), ground: Role = "page") -> None:
        self._ground: Role = ground
        super().__init__(theme)
        self.flow = FlowRow(6, self)
        for widget in widgets:
            self.flow.addWidget(widget)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.relook()

    def put(self, widgets: Sequence[QWidget]) -> None:
        """Holds other widgets; those of before are let go."""
        while (item := self.flow.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for widget in widgets:
            self.flow.addWidget(widget)
            widget.show()
        self.refit()

    def relook(self) -> None:
        """Takes over margins."""
        pad = self.look.metrics.pad
        self.setContentsMargins(pad, 4, pad, 4)
        if hasattr(self, "flow"):
            self.refit()
        self.update()

    def refit(self) -> None:
        """Takes the height of its rows."""
        tall = self.flow.heightForWidth(max(self.width() - 2 * self.look.metrics.pad, 60)) + 8
        if self.height() != tall or self.minimumHeight() != tall:
            self.setFixedHeight(max(tall, 1))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Breaks the rows anew."""
        super().resizeEvent(event)
        self.refit()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes a pane wider."""
        return QSize(120, self.height())

    def minimumSizeHint(self) -> QSize:
        """Returns a width that never pushes a pane wider."""
        return QSize(60, self.height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the ground."""
        ink.fill(0, 0, width, height, self._ground)
