"""The middle pane: how many cases, what else might have been meant, the list, and more of it."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.app.views import IndexState
from kbapp.desktop.look_first.results import ResultDelegate, ResultRow, rows_of, speak_result
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _, ngettext
from kbapp.lookup.question import Answer, Hit


class ResultsPane(QWidget):
    """Shows an answer, or the cases recorded last while nothing is asked."""

    picked = Signal(object)
    """A Hit, or None when the list is empty."""
    meant = Signal(str)
    loosened = Signal(str)
    more_wanted = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._meant = ""
        self.head = SectionHead(theme, _("Cases"))
        self.index_note = NotePlace(theme)
        self.meant_button = Button(theme, "", "quiet")
        self.meant_button.clicked.connect(lambda: self.meant.emit(self._meant))
        self.notes = NotePlace(theme)
        self.model = LinesModel[ResultRow](speak_result, self)
        self.list = Lines(theme, _("Cases found"), whole=True)
        self.list.setModel(self.model)
        self.list.setItemDelegate(ResultDelegate(theme, self.list))
        self.list.picked.connect(lambda row: self.picked.emit(self.model.rows[row].hit))
        self.more_button = Button(theme, _("Show more cases"), "quiet", "down")
        self.more_button.clicked.connect(self.more_wanted)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.head, self.index_note, self.meant_button, self.notes):
            column.addWidget(widget)
        column.addWidget(self.list, 1)
        column.addWidget(self.more_button)
        self.meant_button.hide()
        self.more_button.hide()
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setAccessibleName(_("Cases found"))

    @property
    def current(self) -> Hit | None:
        """The case that is picked."""
        row = self.list.currentIndex().row()
        return self.model.rows[row].hit if 0 <= row < len(self.model.rows) else None

    def show_answer(self, answer: Answer) -> None:
        """Shows an answer."""
        count = ngettext("{n} case", "{n} cases", answer.total).format(n=f"{answer.total:,}")
        shown = len(answer.hits)
        remark = _("closest first, proved above unproved")
        if shown < answer.total:
            remark = _("the {n} closest, proved above unproved").format(n=shown)
        self.head.set_text(count, remark if shown else "")
        self._show_meant(answer.did_you_mean)
        self._put(answer.hits)
        self.more_button.setVisible(shown < answer.total)
        self.notes.put(None if answer.hits else self._nothing(answer))

    def show_recent(self, hits: tuple[Hit, ...], cases: int) -> None:
        """Shows the cases recorded last."""
        remark = ngettext("{n} case in the book", "{n} cases in the book", cases).format(n=f"{cases:,}")
        self.head.set_text(_("Recorded last"), remark)
        self._show_meant("")
        self._put(hits, pick=False)
        self.more_button.hide()
        self.notes.put(None)

    def show_note(self, note: Note) -> None:
        """Shows a note instead of a list."""
        self._put(())
        self.more_button.hide()
        self._show_meant("")
        self.notes.put(note)

    def _put(self, hits: tuple[Hit, ...], *, pick: bool = True) -> None:
        before = self.current
        rows = rows_of(hits)
        self.list.blockSignals(True)
        self.model.replace(rows)
        self.list.blockSignals(False)
        if not rows or not pick:
            self.picked.emit(None)
            return
        ids = [row.hit.id for row in rows]
        self.list.pick(ids.index(before.id) if before is not None and before.id in ids else 0)

    def _show_meant(self, text: str) -> None:
        self._meant = text
        self.meant_button.setText(_("Did you mean “{text}”?").format(text=text) if text else "")
        self.meant_button.setVisible(bool(text))

    def _nothing(self, answer: Answer) -> Note:
        buttons = []
        for item in answer.loosen[:3]:
            button = Button(self._theme, _("Without “{item}”").format(item=loosen_label(item)), "quiet")
            button.clicked.connect(lambda _on=False, i=item: self.loosened.emit(i))
            buttons.append(button)
        hint = _("With one thing less there would be some:") if buttons else _("Try fewer or other words.")
        return Note(self._theme, "look", "plain", _("No case matches all of this"), hint, buttons)

    def show_index(self, state: IndexState | None, *, by_text: bool) -> None:
        """Says that the index is being built, while it is."""
        if state is None or state.ready or not by_text:
            self.index_note.put(None)
            return
        fact = _("Searching by plain text while the index is rebuilt")
        hint = _("{done} of {of} cases").format(done=f"{state.done:,}", of=f"{state.of:,}") if state.of else ""
        share = state.done / state.of if state.of else 0.0
        note = self.index_note.note
        if note is None:
            note = Note(self._theme, "clock", "info", fact, hint, progress=share)
            self.index_note.put(note)
        note.say(fact, hint, share)

    def step(self, by: int) -> None:
        """Picks the next case or the one before."""
        count = len(self.model.rows)
        if count:
            self.list.pick(min(count - 1, max(0, self.list.currentIndex().row() + by)))


def loosen_label(item: str) -> str:
    """Returns what a suggestion to ask less is called: a facet by its name, a word as it is."""
    from kbapp.desktop.look_first.labels import facet_label
    from kbapp.lookup.question import FACETS

    return facet_label(item) if item in FACETS else item
