"""The page of the form: concern, vehicle, codes, timeline, cause, correction, retest, lesson, notes, other cases."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from kbapp.desktop.case_form.desk import Shown
from kbapp.desktop.case_form.fields import Fields, settle
from kbapp.desktop.case_form.line_section import LineSection
from kbapp.desktop.case_form.links import Links
from kbapp.desktop.case_form.notes_preview import NotesPreview
from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.full_lines import title_list
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.suggest_edit import SuggestEdit
from kbapp.desktop.forms.vehicle_fields import KNOWN
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _, ngettext
from kbapp.records.fault import Fault
from kbapp.records.symptoms import symptoms
from kbapp.records.vocabulary import CONDITIONS, POSITIONS
from kbapp.wording import fault_sentence
from kbapp.wording.case_words import moment_words
from kbapp.wording.form_words import field_words
from kbapp.wording.terms import term, terms

if TYPE_CHECKING:
    from kbapp.app.part_names import PartNames
    from kbapp.app.vehicle_names import VehicleNames

_STATES = ("open", "repaired", "came_back", "withdrawn")
"""States a person may choose here; *proved* follows from the lead's signature only."""
_VEHICLE = ("make", "family", "generation", "engine", "model_year", "odometer", "platform", "transmission")
MOST_REVISIONS = 12


class CasePage(FormPage):
    """``written(name, text)`` and ``finished(name, text)`` tell what is typed."""

    written = Signal(str, str)
    finished = Signal(str, str)

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, _("The case"))
        self._theme = theme
        self.fields = Fields(theme, self)
        self.timeline = LineSection(theme, _("Timeline"), ("part", "test", "finding", "service", "note"))
        self.retests = LineSection(theme, _("Retest"), ("retest",))
        self.preview = NotesPreview(theme)
        self.links = Links(theme)
        self.history = title_list(theme, _("History"))
        self.history_head = SectionHead(theme, _("History"))
        self._wrong: dict[str, Note] = {}
        self._vehicles: VehicleNames | None = None
        self._build()
        self.fields.written.connect(lambda name: self.written.emit(name, self.fields.all[name].read()))
        self.fields.written.connect(lambda name: self._offer() if name.startswith("vehicle.") else None)
        self.fields.finished.connect(lambda name: self.finished.emit(name, self.fields.all[name].read()))

    def _build(self) -> None:
        self._concern()
        self._vehicle()
        self.add(SectionHead(self._theme, _("Codes"), _("one a line: code, status, module; or a scan report")))
        self._text("codes", "", _("P0217, stored, ECM"))
        self.timeline_place = self.column.count() - 1
        self.add(self.timeline)
        self._cause()
        self._correction()
        self.add(self.retests)
        self.add(SectionHead(self._theme, _("Lesson")))
        self._text("lesson", _("What to remember"), _("one or two sentences for whoever meets this next"))
        notes = self._text("notes", _("Notes"), _("Markdown: # head, - list, **bold**"))
        self.preview.follow(notes)
        self.add(self.preview)
        self.add(self.links)
        self._stand()
        self.add(self.history_head)
        self.add(self.history)

    def _text(self, name: str, label: str, example: str) -> RuledEdit:
        edit = self.fields.text(name, label or field_words(name), example)
        self.add(Inset(self._theme, edit))
        return edit

    def _line(self, name: str, example: str = "", *, words: tuple[str, ...] | None = None, span: int = 1) -> Labelled:
        return self.fields.line(name, field_words(name), example, words=words, span=span)

    def _concern(self) -> None:
        self.add(SectionHead(self._theme, _("Concern")))
        self._text("concern.text", _("What does it do?"), _("in the customer's words"))
        fields = self.fields
        grid = [
            fields.chips("concern.symptoms", field_words("concern.symptoms"), [s.term for s in symptoms()]),
            fields.chips("concern.conditions", field_words("concern.conditions"), CONDITIONS),
            fields.choice("concern.system", field_words("concern.system"), (("", _("not chosen")), *terms("system"))),
            self._line("concern.began"),
            self._line("concern.since", "2026-05"),
            self._line("concern.last_good"),
        ]
        self.add(FieldGrid(self._theme, grid, most=2))

    def _vehicle(self) -> None:
        grid = [
            self._line(f"vehicle.{name}", words=() if name in ("make", "family", "generation", "engine") else None)
            for name in _VEHICLE
        ]
        self.section(_("Vehicle"), grid)

    def _cause(self) -> None:
        self.add(SectionHead(self._theme, _("Cause"), _("what was found, not what was fitted")))
        self._text("cause.text", _("Where did the fault lie?"), _("such as: pump impeller slips on its shaft when hot"))
        separated = (("yes", _("yes")), ("no", _("no")))
        grid = [
            self._line("cause.section"),
            self._line("cause.part", words=()),
            self._line("cause.position", words=POSITIONS),
            self.fields.choice("cause.separated", field_words("cause.separated"), separated),
        ]
        self.add(FieldGrid(self._theme, grid))

    def _correction(self) -> None:
        self.add(SectionHead(self._theme, _("Correction")))
        self._text("correction.text", _("What was done about it?"), "")
        self._text("correction.parts", field_words("correction.parts"), _("water pump, , 06A-121"))
        self._text("correction.services", field_words("correction.services"), _("coolant changed, vacuum filled"))

    def _stand(self) -> None:
        labels = [(state, term("state", state)) for state in _STATES]
        grid = [
            self.fields.choice("state", field_words("state"), labels),
            self._line("number"),
            self._line("opened", "2026-05-31"),
        ]
        self.section(_("Where it stands"), grid, _("proved: only the lead's signature makes a case that"))
        self._text("withdrawn_reason", field_words("withdrawn_reason"), _("only for a case that is withdrawn"))

    # -- showing

    def show_case(self, shown: Shown, pending: Mapping[str, str]) -> None:
        """Shows the case; what is being written stays."""
        from kbapp.app.case_fields import field_text

        case = shown.case
        for name, field in self.fields.all.items():
            if name in pending:
                continue
            text = field_text(case, name)
            if field.read() != text:
                self.fields.put(name, text)
            settle(field)
        self._offer()
        self.timeline.show_case(case)
        self.retests.show_case(case)
        self.links.show_case(case)
        revisions = shown.revisions[:MOST_REVISIONS]
        self.history.show_rows(
            [TitleLine(str(r.revision), _revision(r.author, r.saved_at), r.reason) for r in revisions]
        )
        count = len(shown.revisions)
        words = ngettext("{n} version, the latest first", "{n} versions, the latest first", count)
        self.history_head.set_text(_("History"), words.format(n=count))

    def know(self, vehicles: "VehicleNames", parts: "PartNames") -> None:
        """Takes over what the book knows, to complete what is typed."""
        self._vehicles = vehicles
        names = sorted({name for _spelling, name in parts.names}, key=str.casefold)
        self.timeline.form.parts = names
        control = self.fields.all["cause.part"].control
        if isinstance(control, SuggestEdit):
            control.offer(names)
        self._offer()

    def _offer(self) -> None:
        if self._vehicles is None:
            return
        told = {name: self.fields.all[f"vehicle.{name}"].read().strip() for name in KNOWN}
        for name in KNOWN:
            control = self.fields.all[f"vehicle.{name}"].control
            if isinstance(control, SuggestEdit):
                control.offer(self._vehicles.offered(name, told))

    def put_texts(self, texts: Mapping[str, str]) -> None:
        """Writes texts of a draft."""
        for name, text in texts.items():
            if name in self.fields.all:
                self.fields.put(name, text)

    def show_faults(self, held: Mapping[str, tuple[Fault, ...]]) -> None:
        """Says at each field what is wrong with it."""
        for name in self.fields.all:
            words = " ".join(fault_sentence(_worded(fault)) for fault in held.get(name, ()))
            self.fields.say(name, words)
            self._say_under(name, words)

    def _say_under(self, name: str, words: str) -> None:
        """Running text has no line of its own for faults: a note stands below it."""
        before = self._wrong.pop(name, None)
        if before is not None:
            self.column.removeWidget(before)
            before.hide()
            before.deleteLater()
        shown = self.fields.all[name].shown
        inset = shown.parentWidget()
        if not words or isinstance(shown, Labelled) or inset is None:
            return
        note = Note(self._theme, "guard", "danger", words)
        self.column.insertWidget(self.column.indexOf(inset) + 1, note)
        self._wrong[name] = note

    def first(self) -> QWidget:
        """Returns the first field."""
        return self.fields.all["concern.text"].control


def _worded(fault: Fault) -> Fault:
    return Fault(field_words(fault.path), fault.code, fault.found, fault.expected)


def _revision(author: str, saved_at: str) -> str:
    from datetime import datetime

    local = datetime.fromisoformat(saved_at).astimezone().isoformat(timespec="seconds")
    return ", ".join(filter(None, (moment_words(local), author)))
