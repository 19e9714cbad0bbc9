"""Fields of a draft: each shows one place of the document and writes what is typed there at once."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QCompleter

from kbapp.app.draft_lines import lines, number, shown
from kbapp.app.drafting import PRIOR_WORDS, Draft, Step
from kbapp.desktop.forms.chips_field import ChipsField
from kbapp.desktop.forms.field_grid import Inset
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.forms.suggest_edit import LineEdit, SuggestEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.choice import TickButton
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.records.base import clean_text
from kbapp.wording.drafting import prior_names, prior_words

Path = tuple[Step, ...]


class Fields(QObject):
    """Makes fields for a draft. ``changed`` is sent whenever one of them wrote something."""

    changed = Signal()

    def __init__(self, theme: Theme, draft: Draft, parent: QObject) -> None:
        super().__init__(parent)
        self._theme, self._draft = theme, draft

    def _write(self, path: Path, value: Any) -> None:
        self._draft.set(*path, to=value)
        self.changed.emit()

    def line(
        self, path: Path, label: str, example: str = "", words: Iterable[str] = (), *, wide: bool = False
    ) -> Labelled:
        """Returns a field of one line."""
        edit: LineEdit = SuggestEdit(self._theme, label, example) if words else LineEdit(self._theme, label, example)
        if isinstance(edit, SuggestEdit):
            edit.offer(words)
        edit.put(self._draft.text(*path))
        edit.textChanged.connect(lambda text: self._write(path, clean_text(text, lines=False)))
        return Labelled(self._theme, label, edit, wide=wide)

    def figure(self, path: Path, label: str, example: str = "") -> Labelled:
        """Returns a field for a number."""
        edit = LineEdit(self._theme, label, example)
        edit.put(shown(self._draft.get(*path)))
        edit.textChanged.connect(lambda text: self._write(path, number(text)))
        return Labelled(self._theme, label, edit)

    def prior(self, path: Path, label: str) -> Labelled:
        """Returns a field for a weight: a word or a number."""
        names = prior_names(PRIOR_WORDS)
        edit = SuggestEdit(self._theme, label, ", ".join(names))
        edit.offer(names)
        completer = edit.completer()
        if completer is not None:
            completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        edit.put(prior_words(self._draft.get(*path), PRIOR_WORDS))
        known = {name.casefold(): weight for name, weight in names.items()}
        edit.textChanged.connect(lambda text: self._write(path, known.get(text.strip().casefold(), number(text))))
        return Labelled(self._theme, label, edit)

    def pick(self, path: Path, label: str, terms: Sequence[tuple[str, str]], default: str = "") -> Labelled:
        """Returns a choice."""
        box = PickOne(self._theme, label, terms)
        box.put(self._draft.text(*path) or default)
        box.done.connect(lambda value: self._write(path, value))
        return Labelled(self._theme, label, box)

    def tick(self, path: Path, label: str) -> Labelled:
        """Returns a box to tick."""
        box = TickButton(self._theme, label)
        box.setChecked(self._draft.get(*path) is True)
        box.clicked.connect(lambda on: self._write(path, True if on else None))
        return Labelled(self._theme, "", box)

    def words(self, path: Path, label: str, example: str, known: Iterable[str]) -> Labelled:
        """Returns several words of a vocabulary."""
        field = ChipsField(self._theme, label, example)
        field.suggest(known)
        field.put([word for word in self._draft.items(*path) if isinstance(word, str)])
        field.done.connect(lambda words: self._write(path, list(words)))
        return Labelled(self._theme, label, field, wide=True)

    def sections(self, path: Path, label: str, without: str = "") -> Labelled:
        """Returns several sections of the map, by name; those that could be added are offered."""
        names = [name for section, name in self._draft.names("section").items() if section != without]
        field = ChipsField(self._theme, label, "")
        field.suggest(names)
        field.put(self._draft.section_names(self._draft.items(*path)))
        field.offer(names if len(names) <= 12 else ())
        field.done.connect(lambda words: self._write(path, self._draft.section_ids(words)))
        return Labelled(self._theme, label, field, wide=True)

    def lines(self, path: Path, label: str, example: str = "") -> Inset:
        """Returns a list of texts, a line each."""
        return self.ruled(label, example, "\n".join(map(str, self._draft.items(*path))), path, lines)

    def text(self, path: Path, label: str, example: str = "") -> Inset:
        """Returns running text."""
        return self.ruled(label, example, self._draft.text(*path), path, clean_text)

    def ruled(self, label: str, example: str, text: str, path: Path, made: Callable[[str], Any]) -> Inset:
        """Returns ruled paper whose text becomes a value by ``made``."""
        edit = RuledEdit(self._theme, label, example, breaks=True)
        edit.setPlainText(text)
        edit.textChanged.connect(lambda: self._write_text(edit, path, made))
        return Inset(self._theme, edit)

    def _write_text(self, edit: RuledEdit, path: Path, made: Callable[[str], Any]) -> None:
        value = made(edit.toPlainText())
        if value != (self._draft.get(*path) or type(value)()):
            self._write(path, value)
