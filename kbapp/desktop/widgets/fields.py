"""Fields to write in: the question line, and ruled paper for running text."""

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPalette, QResizeEvent, QTextBlockFormat, QTextCursor
from PySide6.QtWidgets import QFrame, QLineEdit, QSizePolicy, QTextEdit

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Themed


class AskEdit(QLineEdit, Themed):
    """The question line: our icon left (a leading action sits low under a style sheet), larger type."""

    def __init__(self, theme: Theme, name: str, placeholder: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setPlaceholderText(placeholder)
        self.setClearButtonEnabled(False)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over font and margins."""
        self.setTextMargins(self.look.metrics.icon + 10, 0, 0, 0)
        font = self.look.font("body")
        self.setFont(font)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the field, then the icon."""
        super().paintEvent(event)
        painter = QPainter(self)
        Ink(painter, self.look).icon(self.look.metrics.pad + 3, self.height() / 2, "look", "ink2")
        painter.end()


class RuledEdit(QTextEdit, Themed):
    """Plain text on ruled lines that grows with what is written. Enter asks to go on, Shift+Enter breaks the line."""

    go_on = Signal()

    def __init__(self, theme: Theme, name: str, lines: int = 1, placeholder: str = "") -> None:
        super().__init__()
        self._least = lines
        self.setAcceptRichText(False)
        self.setTabChangesFocus(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(name)
        self.setPlaceholderText(placeholder)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.document().setDocumentMargin(0)
        self.textChanged.connect(self._written)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over font, line height and height."""
        self.setFont(self.look.font("body"))
        self.document().setDefaultFont(self.look.font("body"))
        pad = (self.look.metrics.row - self.look.metrics.pitch) // 2
        self.setViewportMargins(2, pad, 2, pad)
        self._written()

    def _written(self) -> None:
        self._set_line_height()
        self._grow()

    def _set_line_height(self) -> None:
        block = QTextBlockFormat()
        fixed = QTextBlockFormat.LineHeightTypes.FixedHeight.value
        block.setLineHeight(self.look.metrics.pitch, fixed)
        if self.document().firstBlock().blockFormat().lineHeight() == self.look.metrics.pitch and (
            self.document().lastBlock().blockFormat().lineHeight() == self.look.metrics.pitch
        ):
            return
        cursor = QTextCursor(self.document())
        self.blockSignals(True)
        undo = self.document().isUndoRedoEnabled()
        cursor.select(QTextCursor.SelectionType.Document)
        cursor.mergeBlockFormat(block)
        self.document().setUndoRedoEnabled(undo)
        self.blockSignals(False)

    def _grow(self) -> None:
        pitch = self.look.metrics.pitch
        lines = max(self._least, round(self.document().size().height() / pitch))
        self.setFixedHeight(lines * pitch + self.look.metrics.row - pitch)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Grows with the lines that no longer fit."""
        super().resizeEvent(event)
        self._grow()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Goes on with Enter; Ctrl+Enter is left to the screen."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            event.ignore()
        elif enter and not event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self.go_on.emit()
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Repaints the edge when enabled or focused."""
        super().changeEvent(event)
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Rules the page, then paints the text."""
        painter = QPainter(self.viewport())
        ink = Ink(painter, self.look)
        width, height = self.viewport().width(), self.viewport().height()
        painter.fillRect(0, 0, width, height, self.palette().color(QPalette.ColorRole.Base))
        ink.ruling(0, height, width)
        painter.end()
        super().paintEvent(event)


class ValueEdit(QLineEdit, Themed):
    """A plain field in body type."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setMinimumWidth(80)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over the font."""
        self.setFont(self.look.font("body"))
