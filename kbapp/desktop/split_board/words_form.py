"""Recording in running text: a finding (with the sections it names), a service, a note."""

from typing import Literal

from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.split_board.fields import Tick, Toggle, side_by_side
from kbapp.desktop.split_board.form import NEW, Form, FormScene
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.i18n import _
from kbapp.records.base import clean_text
from kbapp.records.timeline import FindingEntry, NoteEntry, ServiceEntry, TimelineEntry
from kbapp.wording.board import WORDS_QUESTIONS
from kbapp.wording.terms import terms

WordsKind = Literal["finding", "service", "note"]


class WordsForm(Form):
    """One of three kinds of lines that are all words."""

    def __init__(self, theme: Theme, kind: WordsKind) -> None:
        super().__init__(theme)
        self.kind = kind
        self._touched = False
        question, example = WORDS_QUESTIONS[kind]
        self.text = RuledEdit(theme, _(question), _(example))
        self.source = Toggle(theme, _("Where it comes from"), terms("source"))
        self.sections_head = SectionHead(theme, _("Sections it names"), _("a section, not yet a part"))
        self.sections: dict[str, Tick] = {}
        self._section_page = QWidget()
        self._section_column = QVBoxLayout(self._section_page)
        self._section_column.setContentsMargins(0, 0, 0, 0)
        self._section_column.setSpacing(0)
        self.record_button = Button(theme, _("Record"), "primary", "tick")
        for widget in (side_by_side(theme, self.text), self.source, self.sections_head, self._section_page):
            self.column.addWidget(widget)
        self.column.addStretch()
        self.sections_head.setVisible(False)
        self.foot.flow.addWidget(self.record_button)
        self.foot.refit()
        self.text.textChanged.connect(self._write)
        self.text.go_on.connect(self.record_button.setFocus)
        self.source.changed.connect(lambda _v: self._write())
        self.record_button.clicked.connect(self.submit)

    def _write(self) -> None:
        self._touched = True
        self.written.emit()

    def show_scene(self, scene: FormScene) -> None:
        """Takes over the sections of the map."""
        super().show_scene(scene)
        section_map = scene.section_map if self.kind == "finding" else None
        names = {section.id: section.name for section in section_map.sections} if section_map is not None else {}
        if list(names) != list(self.sections):
            for tick in self.sections.values():
                tick.hide()
                tick.deleteLater()
            self.sections = {}
            for section, name in names.items():
                tick = Tick(self.theme, name)
                tick.toggled.connect(lambda _on: self._write())
                self.sections[section] = tick
                self._section_column.addWidget(tick)
        self.sections_head.setVisible(bool(names))

    def submit(self) -> None:
        """Records the words."""
        text = clean_text(self.text.toPlainText())
        if not text:
            self.refused.emit(_("Write a few words first."))
            self.text.setFocus()
            return
        before = self.correcting
        known = {
            "id": before.id if before is not None else NEW,
            "at": before.at if before is not None else None,
            "by": before.by if before is not None else "",
            "source": "reported" if self.source.value == "reported" else "own",
            "kind": self.kind,
            "text": text,
        }
        entry: TimelineEntry
        if self.kind == "finding":
            named = tuple(section for section, tick in self.sections.items() if tick.isChecked())
            entry = FindingEntry.model_validate({**known, "sections": named})
        else:
            entry = (ServiceEntry if self.kind == "service" else NoteEntry).model_validate(known)
        self.ready.emit(entry)

    def begin(self, entry: TimelineEntry | None) -> None:
        """Empties the form, or fills it with a line."""
        super().begin(entry)
        self.text.setPlainText(entry.text if entry is not None else "")
        self.source.choose(entry.source if entry is not None else "own")
        named = entry.sections if isinstance(entry, FindingEntry) else ()
        for section, tick in self.sections.items():
            tick.setChecked(section in named)
        self._touched = False

    def to_draft(self) -> dict[str, object]:
        """Returns what is typed."""
        text = self.text.toPlainText()
        if not self._touched or not text.strip():
            return {}
        named = [section for section, tick in self.sections.items() if tick.isChecked()]
        return {"text": text, "source": self.source.value, "sections": named}

    def from_draft(self, kept: dict[str, object]) -> None:
        """Shows what was typed before."""
        self.text.setPlainText(str(kept.get("text", "")))
        self.source.choose(str(kept.get("source", "own")))
        named = kept.get("sections")
        for section, tick in self.sections.items():
            tick.setChecked(isinstance(named, list) and section in named)

    def first(self) -> QWidget:
        """Returns the text."""
        return self.text
