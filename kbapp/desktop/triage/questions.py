"""What to ask now: the questions for the concern as it is known, each with room for its answer."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from kbapp.desktop.forms.field_grid import FieldGrid
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.suggest_edit import LineEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _
from kbapp.wording.triage_words import question_words, tell_words


class Questions(QWidget):
    """``changed`` with every key; ``go_on`` when Enter leaves the last answer."""

    changed = Signal()
    go_on = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._answers: dict[str, str] = {}
        self.edits: dict[str, LineEdit] = {}
        self._grid: FieldGrid | None = None
        self._told = ""
        self._tell: Note | None = None
        self.head = SectionHead(theme, _("Ask now"))
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.head)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)

    def answers(self) -> dict[str, str]:
        """Returns every answer that was written, by the id of its question, in the order asked."""
        now = {name: edit.text() for name, edit in self.edits.items()}
        return {name: text for name, text in {**self._answers, **now}.items() if text.strip()}

    def put_answers(self, answers: Mapping[str, str]) -> None:
        """Writes other answers."""
        self._answers = dict(answers)
        for name, edit in self.edits.items():
            edit.put(self._answers.get(name, ""))

    def ask(self, questions: Sequence[str], system: str | None, *, remark: str) -> None:
        """Asks other questions; what was answered before is kept even where it is asked no longer."""
        self.head.set_text(_("Ask now"), remark)
        self._tell_first(tell_words(system))
        if tuple(questions) == tuple(self.edits):
            return
        focused = next((name for name, edit in self.edits.items() if edit.hasFocus()), "")
        self._answers = self.answers()
        self.edits = {name: self._edit(name) for name in questions}
        fields = [Labelled(self._theme, question_words(name), edit) for name, edit in self.edits.items()]
        if self._grid is not None:
            self._column.removeWidget(self._grid)
            self._grid.hide()
            self._grid.deleteLater()
        self._grid = FieldGrid(self._theme, fields, most=1)
        self._column.addWidget(self._grid)
        if focused in self.edits:
            self.edits[focused].setFocus()

    def _tell_first(self, words: str) -> None:
        if words == self._told:
            return
        self._told = words
        if self._tell is not None:
            self._column.removeWidget(self._tell)
            self._tell.hide()
            self._tell.deleteLater()
            self._tell = None
        if words:
            self._tell = Note(self._theme, "guard", "caution", _("Tell the caller first"), words)
            self._column.insertWidget(1, self._tell)

    def _edit(self, name: str) -> LineEdit:
        edit = LineEdit(self._theme, question_words(name))
        edit.put(self._answers.get(name, ""))
        edit.textChanged.connect(lambda _text: self.changed.emit())
        edit.go_on.connect(lambda: self._next(name))
        return edit

    def _next(self, name: str) -> None:
        names = list(self.edits)
        place = names.index(name) + 1
        if place < len(names):
            self.edits[names[place]].setFocus()
        else:
            self.go_on.emit()

    def first(self) -> QWidget | None:
        """Returns the first answer that is still blank, or the first of all."""
        blank = next((edit for edit in self.edits.values() if not edit.text().strip()), None)
        return blank or next(iter(self.edits.values()), None)
