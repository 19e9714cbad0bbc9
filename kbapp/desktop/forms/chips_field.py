"""Several words of a vocabulary as chips, a field to add one, and words offered as buttons."""

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from kbapp.desktop.forms.labelled import RING
from kbapp.desktop.forms.suggest_edit import SuggestEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.chip import Chip
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.i18n import _


class FlowBox(QWidget):
    """Widgets side by side that break into rows; empty, it takes no room."""

    def __init__(self) -> None:
        super().__init__()
        self.flow = FlowRow(6, self)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def put(self, widgets: Iterable[QWidget]) -> None:
        """Holds other widgets; those of before are let go."""
        while (item := self.flow.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        shown = False
        for widget in widgets:
            self.flow.addWidget(widget)
            widget.show()
            shown = True
        if self.parentWidget() is not None:  # on its own it would come up as a window
            self.setVisible(shown)
        self.updateGeometry()


class ChipsField(QWidget):
    """``done`` is sent with all words (a tuple) whenever one is added or taken away; ``go_on`` on Enter when blank."""

    done = Signal(object)
    go_on = Signal()

    def __init__(self, theme: Theme, name: str, example: str = "") -> None:
        super().__init__()
        self._theme, self._words = theme, tuple[str, ...]()
        self._offered: tuple[str, ...] = ()
        self.edit = SuggestEdit(theme, name, example)
        self.edit.go_on.connect(self._enter)
        add = Button(theme, _("Add"), "plain")
        add.setAccessibleName(_("Add: {field}").format(field=name))
        add.clicked.connect(self._enter_button)
        self._chips, self._offers = FlowBox(), FlowBox()
        line = QHBoxLayout()
        line.setSpacing(6)
        line.addWidget(self.edit, 1)
        line.addWidget(add)
        column = QVBoxLayout(self)
        column.setContentsMargins(RING, 0, RING, RING)
        column.setSpacing(6)
        column.addWidget(self._chips)
        column.addLayout(line)
        column.addWidget(self._offers)
        for box in (self._chips, self._offers):
            box.put(())
        self.setAccessibleName(name)

    @property
    def words(self) -> tuple[str, ...]:
        """The words."""
        return self._words

    @property
    def offers(self) -> tuple[str, ...]:
        """The words offered as buttons."""
        return self._offered

    def put(self, words: Iterable[str]) -> None:
        """Shows other words without telling anyone."""
        wanted = tuple(words)
        if wanted != self._words:
            self._words = wanted
            self._chips.put([self._chip(word) for word in wanted])
            self._show_offers()

    def suggest(self, words: Iterable[str]) -> None:
        """Takes over the vocabulary the field completes from."""
        self.edit.offer(words)

    def offer(self, words: Iterable[str]) -> None:
        """Offers words as buttons; those that stand already are left out."""
        wanted = tuple(words)
        if wanted != self._offered:
            self._offered = wanted
            self._show_offers()

    def _show_offers(self) -> None:
        self._offers.put([self._offer(word) for word in self._offered if word not in self._words])

    def _chip(self, word: str) -> Chip:
        name = _("{word}, take it away").format(word=word)
        chip = Chip(self._theme, "", word)
        chip.setAccessibleName(name)
        chip.setToolTip(name)
        chip.clicked.connect(lambda: self._remove(word))
        return chip

    def _offer(self, word: str) -> Button:
        button = Button(self._theme, word, "quiet", "plus")
        button.setAccessibleName(_("Take over: {word}").format(word=word))
        button.setToolTip(button.accessibleName())
        button.clicked.connect(lambda: self._add(word))
        return button

    def _enter(self) -> None:
        word = " ".join(self.edit.text().split())
        if not word:
            self.go_on.emit()
            return
        self.edit.put("")
        self._add(word)

    def _enter_button(self) -> None:
        if self.edit.text().strip():
            self._enter()
        self.edit.setFocus()

    def take_rest(self) -> None:
        """Adds what is written in the field and was not added."""
        if self.edit.text().strip():
            self._enter()

    def _add(self, word: str) -> None:
        if word not in self._words:
            self.put((*self._words, word))
            self.done.emit(self._words)
        self.edit.setFocus()

    def _remove(self, word: str) -> None:
        self.put(kept for kept in self._words if kept != word)
        self.done.emit(self._words)
        self.edit.setFocus()
