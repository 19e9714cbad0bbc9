"""The focus ring: two pixels of accent around whatever has the keyboard, drawn once for the whole window."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractItemView, QApplication, QFocusFrame, QWidget

from kbapp.desktop.theme.theme import Theme


class FocusRing(QFocusFrame):
    """Follows the focus within one window; lists draw the ring on their current line themselves."""

    def __init__(self, theme: Theme, window: QWidget, app: QApplication) -> None:
        super().__init__(window)
        self._theme = theme
        self._window = window
        app.focusChanged.connect(self.follow)
        theme.changed.connect(self._again)
        self.hide()

    def follow(self, old: QWidget | None, new: QWidget | None) -> None:
        """Moves the ring to the widget that now has the focus, or takes it away."""
        inside = new is not None and new.window() is self._window and not isinstance(new, QAbstractItemView)
        self.setWidget(new if inside else None)  # type: ignore[arg-type]
        if not inside:
            self.hide()

    def _again(self) -> None:
        # a new style sheet lets the frame go
        widget = self.widget()
        if widget is not None:
            self.setWidget(None)  # type: ignore[arg-type]
            self.setWidget(widget)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the ring."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(self._theme.look.colour("accent"), 2))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 5, 5)
        painter.end()
