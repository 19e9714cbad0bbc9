"""A panel over the left edge of a screen, for what has no room as a column of its own."""

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.i18n import _


class SidePanel(QFrame):
    """Holds one widget; covers the left of its parent at full height; ``left`` is sent when it closes."""

    left = Signal()

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme, self._parent = theme, parent
        self.setProperty("card", True)
        self.setAutoFillBackground(True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(1, 1, 1, 1)
        self._column.setSpacing(0)
        self.done_button = Button(theme, _("Done"), "primary")
        self.done_button.clicked.connect(self.leave)
        foot = QHBoxLayout()
        foot.setContentsMargins(8, 4, 8, 8)
        foot.addWidget(self.done_button)
        foot.addStretch()
        self._column.addLayout(foot)
        parent.installEventFilter(self)
        self.hide()

    def hold(self, widget: QWidget) -> None:
        """Takes a widget in."""
        self._column.insertWidget(0, widget, 1)
        widget.show()

    def open(self) -> None:
        """Covers the left of the parent."""
        self._place()
        self.show()
        self.raise_()

    def leave(self) -> None:
        """Closes the panel."""
        if self.isVisible():
            self.hide()
            self.left.emit()

    def _place(self) -> None:
        parent = self._parent
        wide = min(parent.width() - 40, round(self._theme.look.metrics.body * 30))
        self.setGeometry(0, 0, wide, parent.height())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keeps the height of the parent."""
        if event.type() == QEvent.Type.Resize:
            self._place()
        return super().eventFilter(watched, event)
