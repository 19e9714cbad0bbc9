"""The fields of the case as controls with one way to read, write and hear of them."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QLineEdit, QTextEdit, QWidget

from kbapp.desktop.forms.chips_field import ChipsField
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.forms.suggest_edit import LineEdit, SuggestEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.fields import RuledEdit


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its control, what shows it (with its label), how it is read and written."""

    name: str
    control: QWidget
    shown: QWidget
    read: Callable[[], str]
    put: Callable[[str], None]

    def has_keyboard(self) -> bool:
        """Returns whether someone is writing in it."""
        return self.control.hasFocus()


class Fields(QObject):
    """Fields by name. ``written(name)`` with every change, ``finished(name)`` when one was left or chosen."""

    written = Signal(str)
    finished = Signal(str)

    def __init__(self, theme: Theme, parent: QObject) -> None:
        super().__init__(parent)
        self._theme = theme
        self._putting = False
        self.all: dict[str, Field] = {}

    def _add(self, field: Field) -> Field:
        self.all[field.name] = field
        field.control.installEventFilter(self)
        return field

    def _written(self, name: str) -> None:
        if not self._putting:
            self.written.emit(name)

    def _finished(self, name: str) -> None:
        if not self._putting:
            self.finished.emit(name)

    def _chosen(self, name: str) -> None:
        self._written(name)
        self._finished(name)

    def line(
        self, name: str, label: str, example: str = "", *, words: Iterable[str] | None = None, span: int = 1
    ) -> Labelled:
        """Makes a field of one line; ``words`` are offered while one types."""
        edit = SuggestEdit(self._theme, label, example) if words is not None else LineEdit(self._theme, label, example)
        if isinstance(edit, SuggestEdit) and words is not None:
            edit.offer(words)
        edit.textChanged.connect(lambda _text: self._written(name))
        edit.done.connect(lambda _text: self._finished(name))
        edit.go_on.connect(lambda: edit.focusNextChild())
        shown = Labelled(self._theme, label, edit, span=span)
        self._add(Field(name, edit, shown, edit.text, edit.put))
        return shown

    def text(self, name: str, label: str, example: str = "", *, breaks: bool = True) -> RuledEdit:
        """Makes a field of running text."""
        edit = RuledEdit(self._theme, label, example, breaks=breaks)
        edit.textChanged.connect(lambda: self._written(name))
        edit.left.connect(lambda: self._finished(name))

        def put(text: str) -> None:
            if edit.toPlainText() != text:
                edit.setPlainText(text)

        self._add(Field(name, edit, edit, edit.toPlainText, put))
        return edit

    def choice(self, name: str, label: str, terms: Iterable[tuple[str, str]]) -> Labelled:
        """Makes a choice among terms."""
        pick = PickOne(self._theme, label, terms)
        pick.done.connect(lambda _value: self._chosen(name))
        pick.go_on.connect(lambda: pick.focusNextChild())
        shown = Labelled(self._theme, label, pick)
        self._add(Field(name, pick, shown, pick.value, pick.put))
        return shown

    def chips(self, name: str, label: str, words: Iterable[str], example: str = "") -> Labelled:
        """Makes a field of several words."""
        chips = ChipsField(self._theme, label, example)
        chips.suggest(words)
        chips.done.connect(lambda _words: self._chosen(name))
        chips.go_on.connect(lambda: chips.edit.focusNextChild())
        shown = Labelled(self._theme, label, chips, wide=True)
        self._add(
            Field(
                name,
                chips,
                shown,
                lambda: "\n".join(chips.words),
                lambda text: chips.put(filter(None, text.split("\n"))),
            )
        )
        return shown

    def put(self, name: str, text: str) -> None:
        """Writes a field without telling anyone."""
        self._putting = True
        try:
            self.all[name].put(text)
        finally:
            self._putting = False

    def say(self, name: str, words: str) -> None:
        """Says what is wrong with a field, or nothing."""
        shown = self.all[name].shown
        if isinstance(shown, Labelled):
            shown.say(words, "danger" if words else "ink2")
        else:
            shown.setAccessibleDescription(words)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leaves Undo and Redo to the case where the field has nothing of its own to take back."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            undo, redo = event.matches(QKeySequence.StandardKey.Undo), event.matches(QKeySequence.StandardKey.Redo)
            if (undo and not _can_undo(watched)) or (redo and not _can_redo(watched)):
                event.ignore()
                return True
        return False


def settle(field: Field) -> None:
    """Forgets what could be taken back inside a field: it is recorded now, and the case takes it back."""
    control = field.control
    if isinstance(control, QTextEdit):
        control.document().clearUndoRedoStacks()
    elif isinstance(control, QLineEdit):
        at, blocked = control.cursorPosition(), control.blockSignals(True)
        control.setText(control.text())
        control.setCursorPosition(at)
        control.blockSignals(blocked)


def _can_undo(control: QObject) -> bool:
    if isinstance(control, QTextEdit):
        return control.document().isUndoAvailable()
    return isinstance(control, QLineEdit) and control.isUndoAvailable()


def _can_redo(control: QObject) -> bool:
    if isinstance(control, QTextEdit):
        return control.document().isRedoAvailable()
    return isinstance(control, QLineEdit) and control.isRedoAvailable()
