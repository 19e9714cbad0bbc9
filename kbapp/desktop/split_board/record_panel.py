"""The panel in which a line is recorded: its kinds, one form at a time, and the buttons that record."""

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.split_board.board_drafts import BoardDrafts
from kbapp.desktop.split_board.fields import Toggle
from kbapp.desktop.split_board.form import Form, FormScene
from kbapp.desktop.split_board.part_form import PartForm
from kbapp.desktop.split_board.repair_form import RepairForm
from kbapp.desktop.split_board.test_form import TestForm
from kbapp.desktop.split_board.words_form import WordsForm
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import N_, _
from kbapp.records.timeline import TimelineEntry
from kbapp.wording.terms import term

KINDS: Final = ("test", "part", "finding", "service", "note", "repair")
_REPAIR: Final = N_("Repaired")


def kind_words(kind: str) -> str:
    """Returns what a kind of line is called."""
    return _(_REPAIR) if kind == "repair" else term("kind", kind)


class RecordPanel(QWidget):
    """``ready`` is sent with an entry, ``repaired`` with cause and correction, ``closed`` when it is left."""

    ready = Signal(object)
    repaired = Signal(object, object)
    closed = Signal()

    def __init__(self, theme: Theme, drafts: BoardDrafts) -> None:
        super().__init__()
        self._theme, self._drafts = theme, drafts
        self._case = ""
        self._filling = self._compact = False
        self.head = SectionHead(theme, _("Record"))
        self.kinds = Toggle(theme, _("Kind of line"), tuple((kind, kind_words(kind)) for kind in KINDS))
        self.close_button = Button(theme, _("Back"), "quiet", "left")
        self.close_button.setAccessibleName(_("Back to the board"))
        self.kinds.flow.addWidget(self.close_button)
        self.notes = NotePlace(theme)
        self.test = TestForm(theme)
        self.part = PartForm(theme)
        self.repair = RepairForm(theme)
        words = {kind: WordsForm(theme, kind) for kind in ("finding", "service", "note")}
        self.forms: dict[str, Form] = {"test": self.test, "part": self.part, **words, "repair": self.repair}
        self.page = PageScroll(theme, _("Record"))
        self.page.setFocusPolicy(self.focusPolicy())
        self.feet = QWidget()
        feet = QVBoxLayout(self.feet)
        feet.setContentsMargins(0, 0, 0, 0)
        for form in self.forms.values():
            self.page.column.addWidget(form)
            feet.addWidget(form.foot)
            form.ready.connect(self.ready)
            form.refused.connect(self.refuse)
            form.written.connect(lambda f=form: self._written(f))
        self.repair.repaired.connect(self.repaired)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget, stretch in ((self.head, 0), (self.kinds, 0), (self.notes, 0), (self.page, 1), (self.feet, 0)):
            column.addWidget(widget, stretch)
        self.kinds.changed.connect(self._kind_chosen)
        self.close_button.clicked.connect(self.closed)
        self.show_kind("test")
        self.setAccessibleName(_("Record"))

    @property
    def current(self) -> Form:
        """The form that is shown."""
        return self.forms[self.kinds.value]

    def show_scene(self, scene: FormScene) -> None:
        """Takes over another state of the case; another case empties every form."""
        another = scene.case.id != self._case
        self._case = scene.case.id
        self._filling = True
        for form in self.forms.values():
            form.show_scene(scene)
            if another:
                form.begin(None)
        self._filling = False

    def set_compact(self, *, compact: bool) -> None:
        """Shows one test alone, without the other kinds of lines."""
        self._compact = compact
        self.test.set_compact(compact=compact)
        self._name()

    def _name(self) -> None:
        alone = self._compact and self.kinds.value == "test"
        self.kinds.setVisible(not alone)
        correcting = self.current.correcting is not None
        self.head.set_text(
            _("Next test") if alone else _("Correct a line") if correcting else _("Record"),
            "" if alone else kind_words(self.kinds.value),
        )

    def show_kind(self, kind: str) -> None:
        """Shows the form of a kind."""
        self.kinds.choose(kind)
        for name, form in self.forms.items():
            form.setVisible(name == kind)
            form.foot.setVisible(name == kind)
        self.notes.put(None)
        self._name()

    def _kind_chosen(self, kind: str) -> None:
        self.show_kind(kind)
        self.page.verticalScrollBar().setValue(0)
        self.current.first().setFocus()

    def begin(self, kind: str, entry: TimelineEntry | None = None) -> None:
        """Shows an empty form, or one filled with a line to correct."""
        self._filling = True
        untouched_repair = kind == "repair" and not self.repair.to_draft()
        if entry is not None or self.forms[kind].correcting is not None or untouched_repair:
            self.forms[kind].begin(entry)
        self._filling = False
        self.show_kind(kind)
        self.page.verticalScrollBar().setValue(0)

    def recorded(self, kind: str) -> None:
        """Empties a form whose line is in the book now."""
        self._filling = True
        self.forms[kind].begin(None)
        self._filling = False
        self.notes.put(None)
        self._drafts.drop(self._case, kind)

    def take_up(self, kind: str, values: dict[str, object]) -> None:
        """Goes on with a draft of before."""
        if kind in self.forms:
            self.begin(kind)
            self._filling = True
            self.forms[kind].from_draft(values)
            self._filling = False
            self._written(self.forms[kind])

    def refuse(self, words: str) -> None:
        """Says what is missing, beside the form."""
        self.notes.put(Note(self._theme, "guard", "caution", words))

    def _written(self, form: Form) -> None:
        if self._filling or not self._case:
            return
        if self.notes.note is not None:
            self.notes.put(None)
        # the draft of a line that is corrected would come back as a new line: the line itself is in the book
        if form.correcting is None:
            self._drafts.write(self._case, form.kind, form.to_draft())

    def submit(self) -> None:
        """Records by the form's default."""
        self.current.submit()

    def has_focus(self) -> bool:
        """Returns whether the keyboard is inside."""
        focus = QApplication.focusWidget()
        return focus is not None and self.isAncestorOf(focus)
