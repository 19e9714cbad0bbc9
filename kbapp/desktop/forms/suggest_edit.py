"""A field of one line that offers what the book knows; Enter goes on to the next field."""

from collections.abc import Iterable

from PySide6.QtCore import QStringListModel, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCompleter, QListView, QStyledItemDelegate

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.i18n import _

MOST_SHOWN = 6


class LineEdit(ValueEdit):
    """``go_on`` on Enter, ``done`` with the text when it was changed and left or Enter was pressed."""

    go_on = Signal()
    done = Signal(str)

    def __init__(self, theme: Theme, name: str, example: str = "") -> None:
        super().__init__(theme, name)
        self._told = ""
        self.setPlaceholderText(example)
        self.editingFinished.connect(self._finished)

    def put(self, text: str) -> None:
        """Writes a text that is no change of the user's."""
        self._told = text
        if self.text() != text:
            self.setText(text)
        self.setCursorPosition(0)

    def _finished(self) -> None:
        if self.text() != self._told:
            self._told = self.text()
            self.done.emit(self._told)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Goes on with Enter; Ctrl+Enter is left to the screen."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._finished()
            event.ignore()
        elif enter:
            self._finished()
            self.go_on.emit()
        else:
            super().keyPressEvent(event)


class SuggestEdit(LineEdit):
    """Offers words while one types; any other word may be written as well."""

    def __init__(self, theme: Theme, name: str, example: str = "") -> None:
        super().__init__(theme, name, example)
        self._words = QStringListModel(self)
        completer = QCompleter(self._words, self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setMaxVisibleItems(MOST_SHOWN)
        popup = QListView()
        completer.setPopup(popup)
        popup.setProperty("popup", True)
        popup.setItemDelegate(QStyledItemDelegate(popup))
        popup.setAccessibleName(_("Suggestions"))
        self.setCompleter(completer)

    def hide_offers(self) -> None:
        """Puts the list of words away."""
        completer = self.completer()
        popup = completer.popup() if completer is not None else None
        if popup is not None and popup.isVisible():
            popup.hide()

    def offer(self, words: Iterable[str]) -> None:
        """Offers other words."""
        wanted = list(dict.fromkeys(words))
        if wanted != self._words.stringList():
            self._words.setStringList(wanted)
