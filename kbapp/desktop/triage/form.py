"""The call on one page: who calls, the vehicle, the concern, what was fitted, codes, equipment."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from kbapp.app.triage import TriageSheet, VehicleTold
from kbapp.desktop.forms.chips_field import ChipsField
from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.suggest_edit import LineEdit
from kbapp.desktop.forms.vehicle_fields import VehicleFields
from kbapp.desktop.private.fields import PrivateFields
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.triage.parts_told import PartsTold
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.i18n import _
from kbapp.records.symptoms import symptoms
from kbapp.records.vocabulary import CONDITIONS


class TriageForm(FormPage):
    """``written`` with every change, ``concern_moved`` when it is the concern's; ``ended`` behind the last field."""

    written = Signal()
    concern_moved = Signal()
    ended = Signal()
    questions_wanted = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, _("The call"))
        self.caller = PrivateFields(theme, self, whole=False)
        self.vehicle = VehicleFields(theme, self)
        self.concern = RuledEdit(theme, _("What does it do?"), _("in the caller's words"))
        self.symptoms = ChipsField(theme, _("What the trade calls it"), _("such as sinking pedal"))
        self.conditions = ChipsField(theme, _("When does it do it?"), _("such as hot day, under load"))
        self.began = LineEdit(theme, _("Began after what, and when?"), _("work, accident, weather, nothing"))
        self.last_good = LineEdit(theme, _("Last time it was good?"))
        self.parts = PartsTold(theme)
        self.codes = RuledEdit(theme, _("Trouble codes"), _("type them or paste a scan report"), breaks=True)
        self.equipment = RuledEdit(
            theme, _("What can their equipment do?"), _("scan tool functions, meter, scope, gauges")
        )
        self.symptoms.suggest(item.term for item in symptoms())
        self.conditions.suggest(CONDITIONS)
        self.vehicle_ref = ""
        self._build(theme)
        self._chain()
        self._connect()

    def _build(self, theme: Theme) -> None:
        self.section(_("Who calls"), self.caller.fields, _("goes into the private record, never into the case"), most=3)
        self.section(_("The vehicle"), list(self.vehicle.fields.values()), most=3)
        self.add(SectionHead(theme, _("The concern"), _("the only thing that must be written")))
        self.add(Inset(theme, self.concern))
        self.add(
            FieldGrid(
                theme,
                [
                    Labelled(theme, _("What the trade calls it"), self.symptoms, wide=True),
                    Labelled(theme, _("When does it do it?"), self.conditions, wide=True),
                    Labelled(theme, _("Began after what, and when?"), self.began),
                    Labelled(theme, _("Last time it was good?"), self.last_good),
                ],
                most=2,
            )
        )
        self.side_place = self.column.count() - 1
        self.section(_("Fitted before"), [Labelled(theme, _("Part, and what it changed"), self.parts, wide=True)])
        self.codes_head = self.section(_("Codes and equipment"), [])
        self.add(Inset(theme, self.codes))
        self.add(Inset(theme, self.equipment))

    def _connect(self) -> None:
        self.caller.changed.connect(self.written)
        self.vehicle.changed.connect(self.written)
        self.concern.textChanged.connect(self.concern_moved)
        self.symptoms.done.connect(lambda _words: self.concern_moved.emit())
        self.conditions.done.connect(lambda _words: self.written.emit())
        for edit in (self.began, self.last_good, self.parts.edit):
            edit.textChanged.connect(lambda _text: self.written.emit())
        self.parts.changed.connect(self.written)
        for text in (self.codes, self.equipment):
            text.textChanged.connect(self.written)
        self.concern_moved.connect(self.written)
        self.caller.vin.year_chosen.connect(self._take_year)

    def _chain(self) -> None:
        """Lets Enter go from field to field in the order of a call."""
        edits = [*self.caller.edits.values(), *self.vehicle.edits.values()]
        for edit, after in zip(edits, [*edits[1:], self.concern], strict=True):
            edit.go_on.connect(after.setFocus)
        self.concern.go_on.connect(self.symptoms.edit.setFocus)
        self.symptoms.go_on.connect(self.conditions.edit.setFocus)
        self.conditions.go_on.connect(self.began.setFocus)
        self.began.go_on.connect(self.last_good.setFocus)
        self.last_good.go_on.connect(self.questions_wanted)
        self.parts.go_on.connect(self.codes.setFocus)
        self.equipment.go_on.connect(self.ended)

    def _take_year(self, year: int) -> None:
        self.vehicle.edits["model_year"].setText(str(year))
        self.vehicle.edits["make"].setFocus()

    def put_vin(self, text: str) -> None:
        """Writes a VIN that was scanned, and goes on behind it."""
        self.caller.vin.edit.setText(text)
        self.caller.edits["order_number"].setFocus()

    def sheet(self) -> TriageSheet:
        """Returns what is written; answers are added by the screen."""
        return TriageSheet(
            concern=self.concern.toPlainText(), symptoms=self.symptoms.words, conditions=self.conditions.words,
            began=self.began.text(), last_good=self.last_good.text(), vehicle=VehicleTold(**self.vehicle.texts()),
            vehicle_ref=self.vehicle_ref, parts=self.parts.parts, codes=self.codes.toPlainText(),
            equipment=self.equipment.toPlainText(), private=self.caller.details(),
        )  # fmt: skip

    def put(self, sheet: TriageSheet) -> None:
        """Writes another call."""
        self.caller.put(sheet.private)
        self.vehicle.put(sheet.vehicle.model_dump())
        self.vehicle_ref = sheet.vehicle_ref
        self.concern.setPlainText(sheet.concern)
        self.symptoms.put(sheet.symptoms)
        self.symptoms.offer(())
        self.conditions.put(sheet.conditions)
        self.began.put(sheet.began)
        self.last_good.put(sheet.last_good)
        self.parts.edit.put("")
        self.parts.put(sheet.parts)
        self.codes.setPlainText(sheet.codes)
        self.equipment.setPlainText(sheet.equipment)

    def first(self) -> QWidget:
        """Returns the first field."""
        return self.caller.edits["customer"]
