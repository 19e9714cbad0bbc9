"""Fields to write in: the question line, and ruled paper for running text."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent, QTextBlockFormat, QTextCursor
from PySide6.QtWidgets import QFrame, QLabel, QLineEdit, QSizePolicy, QTextEdit

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
    """Plain text on ruled lines under its own label; grows with what is written.

    Enter asks to go on (``go_on``), Shift+Enter breaks the line, Ctrl+Enter is left to the screen; with ``breaks``
    Enter breaks the line, too. ``left`` is sent when the keyboard goes elsewhere.
    """

    go_on = Signal()
    left = Signal()

    def __init__(self, theme: Theme, name: str, example: str = "", *, breaks: bool = False) -> None:
        super().__init__()
        self._example, self._breaks = example, breaks
        self._label = QLabel(name, self)
        self._label.setProperty("ink", "ink2")
        self._label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAcceptRichText(False)
        self.setTabChangesFocus(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(name)
        self.setAccessibleDescription(example)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.document().setDocumentMargin(0)
        self.textChanged.connect(self._written)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over fonts, line height and height."""
        look = self.look
        self.setFont(look.font("body"))
        self.document().setDefaultFont(look.font("body"))
        self._label.setFont(look.font("small", 600))
        self.setViewportMargins(4, look.metrics.pitch, 4, 0)
        self._place_label()
        self._written()

    def _place_label(self) -> None:
        self._label.setGeometry(4, 0, max(40, self.width() - 8), self.look.metrics.pitch)

    def _written(self) -> None:
        self._set_line_height()
        self._grow()

    def _set_line_height(self) -> None:
        pitch = self.look.metrics.pitch
        first, last = self.document().firstBlock(), self.document().lastBlock()
        if first.blockFormat().lineHeight() == pitch == last.blockFormat().lineHeight():
            return
        block = QTextBlockFormat()
        block.setLineHeight(pitch, QTextBlockFormat.LineHeightTypes.FixedHeight.value)
        cursor = QTextCursor(self.document())
        cursor.select(QTextCursor.SelectionType.Document)
        self.blockSignals(True)
        cursor.mergeBlockFormat(block)
        self.blockSignals(False)

    def _grow(self) -> None:
        pitch = self.look.metrics.pitch
        lines = max(1, round(self.document().size().height() / pitch))
        self.setFixedHeight((lines + 1) * pitch)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Grows with the lines that no longer fit."""
        super().resizeEvent(event)
        self._place_label()
        self._grow()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Goes on with Enter; Ctrl+Enter is left to the screen."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            event.ignore()
        elif enter and not self._breaks and not event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self.go_on.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tells that the keyboard goes elsewhere."""
        super().focusOutEvent(event)
        self.left.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Rules the page, writes the example where nothing stands, then paints the text."""
        painter = QPainter(self.viewport())
        ink = Ink(painter, self.look)
        width, height, pitch = self.viewport().width(), self.viewport().height(), self.look.metrics.pitch
        ink.fill(0, 0, width, height, "page")
        y = pitch
        while y <= height:
            ink.across(0, width, y - 1, "rule_strong")
            y += pitch
        if self.document().isEmpty() and self._example:
            font = self.look.font("body")
            ink.text(0, pitch - self.look.measure(font).height(), self._example, font, "ink3", room=width)
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
