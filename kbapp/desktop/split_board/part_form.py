"""Recording a part: planned, fitted or removed; what for, what it costs, what was found on it."""

from typing import cast

from PySide6.QtCore import QStringListModel, Qt
from PySide6.QtWidgets import QCompleter, QListView, QStyledItemDelegate, QWidget

from kbapp.desktop.split_board.fields import Choice, Labelled, Tick, Toggle, side_by_side
from kbapp.desktop.split_board.form import NEW, Form, FormScene
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import RuledEdit, ValueEdit
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.i18n import _
from kbapp.records.base import clean_text
from kbapp.records.number_text import read_number
from kbapp.records.timeline import (
    Effect,
    Exemption,
    Money,
    PartEntry,
    Purpose,
    Stage,
    TimelineEntry,
)
from kbapp.wording.board import EXEMPTION_NEEDS
from kbapp.wording.terms import terms


class PartForm(Form):
    """A part of the case."""

    kind = "part"

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self._touched = False
        self.stage = Toggle(theme, _("What happens to the part"), terms("stage"))
        self.part = ValueEdit(theme, _("Part"))
        self.part.setPlaceholderText(_("such as thermostat"))
        self.position = Choice(theme, _("Position"))
        self.position.offer((("", _("no position")), *terms("position")))
        self.section = Choice(theme, _("Section it belongs to"))
        self.purpose = Choice(theme, _("What for"))
        self.purpose.offer(terms("purpose"))
        self.need = TextLabel(theme, "", "small", "ink2", wrap=True)
        self.reference = ValueEdit(theme, _("Reference of the recall, campaign or plan"))
        self.value = ValueEdit(theme, _("Measured value"))
        self.limit = ValueEdit(theme, _("Limit"))
        self.unit = ValueEdit(theme, _("Unit"))
        self.limit_source = ValueEdit(theme, _("Where the limit comes from"))
        self.source = Toggle(theme, _("Who fitted it"), terms("source"))
        self.cost = ValueEdit(theme, _("Cost of the part"))
        self.labour = ValueEdit(theme, _("Minutes of work"))
        self.no_return = Tick(theme, _("Cannot be returned"))
        self.programming = Tick(theme, _("Needs programming"))
        self.effect = Choice(theme, _("What it changed"))
        self.effect.offer((("", _("not known yet")), *terms("effect")))
        self.found = ValueEdit(theme, _("Found on the removed part"))
        self.reason = ValueEdit(theme, _("Why this part"))
        self.text = RuledEdit(theme, _("Notes"), _("anything that mattered"))
        self.record_button = Button(theme, _("Record"), "primary", "tick")
        self._words = QStringListModel(self)
        self._complete()
        self._lay_out()
        self._connect()

    def _complete(self) -> None:
        completer = QCompleter(self._words, self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        popup = QListView()
        completer.setPopup(popup)
        popup.setProperty("popup", True)
        popup.setItemDelegate(QStyledItemDelegate(popup))
        popup.setAccessibleName(_("Suggestions"))
        self.part.setCompleter(completer)

    def _lay_out(self) -> None:
        theme = self.theme
        self.need.setContentsMargins(theme.look.metrics.pad + 2, 0, theme.look.metrics.pad, 0)
        self.reference_row = side_by_side(theme, Labelled(theme, _("Reference"), self.reference))
        self.measured_row = side_by_side(
            theme, Labelled(theme, _("Measured"), self.value), Labelled(theme, _("Limit"), self.limit),
            Labelled(theme, _("Unit"), self.unit), Labelled(theme, _("Limit from"), self.limit_source),
        )  # fmt: skip
        self.fitted_row = side_by_side(
            theme, Labelled(theme, _("What it changed"), self.effect),
            Labelled(theme, _("Found on the removed part"), self.found),
        )  # fmt: skip
        self.section_field = Labelled(theme, _("Section it belongs to"), self.section)
        for widget in (
            self.stage,
            side_by_side(theme, Labelled(theme, _("Part"), self.part), Labelled(theme, _("Position"), self.position)),
            side_by_side(theme, Labelled(theme, _("What for"), self.purpose), self.section_field),
            self.need, self.reference_row, self.measured_row,
            side_by_side(
                theme, Labelled(theme, _("Cost"), self.cost), Labelled(theme, _("Minutes of work"), self.labour)
            ),
            side_by_side(theme, self.no_return, self.programming),
            self.fitted_row,
            side_by_side(theme, Labelled(theme, _("Why this part"), self.reason)),
            self.source,
            side_by_side(theme, self.text),
        ):  # fmt: skip
            self.column.addWidget(widget)
        self.column.addStretch()
        self.foot.flow.addWidget(self.record_button)
        self.foot.refit()

    def _edits(self) -> dict[str, ValueEdit]:
        return {
            "part": self.part, "reference": self.reference, "value": self.value, "limit": self.limit, "unit": self.unit,
            "limit_source": self.limit_source, "cost": self.cost, "labour": self.labour, "found": self.found,
            "reason": self.reason,
        }  # fmt: skip

    def _choices(self) -> dict[str, Choice | Toggle]:
        return {
            "stage": self.stage, "position": self.position, "purpose": self.purpose, "effect": self.effect,
            "source": self.source, "section": self.section,
        }  # fmt: skip

    def _connect(self) -> None:
        for edit in self._edits().values():
            edit.textChanged.connect(self._write)
        for choice in (self.position, self.purpose, self.effect, self.section):
            choice.currentIndexChanged.connect(lambda _n: self._changed())
        for toggle in (self.stage, self.source):
            toggle.changed.connect(lambda _v: self._changed())
        for tick in (self.no_return, self.programming):
            tick.toggled.connect(lambda _on: self._write())
        self.text.textChanged.connect(self._write)
        self.text.go_on.connect(self.record_button.setFocus)
        self.record_button.clicked.connect(self.submit)
        self._changed()

    def _write(self) -> None:
        self._touched = True
        self.written.emit()

    def _changed(self) -> None:
        purpose = self.purpose.value
        need = EXEMPTION_NEEDS.get(purpose, "")
        self.need.setText(_(need) if need else "")
        self.need.setVisible(bool(need))
        self.reference_row.setVisible(purpose in ("recall", "maintenance"))
        self.measured_row.setVisible(purpose == "measured")
        self.fitted_row.setVisible(self.stage.value != "planned")
        self._write()

    def show_scene(self, scene: FormScene) -> None:
        """Takes over the parts and sections of the map."""
        super().show_scene(scene)
        section_map = scene.section_map
        names: list[str] = []
        sections: list[tuple[str, str]] = [("", _("as the map lists the part"))]
        for section in section_map.sections if section_map is not None else ():
            names.extend(part.name for part in section.parts)
            sections.append((section.id, section.name))
        fitted = [entry.part for entry in scene.case.timeline if isinstance(entry, PartEntry)]
        self._words.setStringList(list(dict.fromkeys((*names, *fitted))))
        self.section.offer(sections)
        self.section_field.setVisible(section_map is not None)
        self.cost.setPlaceholderText(scene.currency)

    def submit(self) -> None:
        """Records the part."""
        part = clean_text(self.part.text(), lines=False)[:120]
        if not part:
            self.refused.emit(_("Say which part it is."))
            self.part.setFocus()
            return
        for edit in (self.cost, self.labour, self.value, self.limit):
            if edit.text().strip() and edit.isVisible() and read_number(edit.text()) is None:
                self.refused.emit(
                    _("{field}: “{text}” is no number.").format(field=edit.accessibleName(), text=edit.text())
                )
                edit.setFocus()
                return
        self.ready.emit(self._entry(part))

    def _exemption(self) -> Exemption | None:
        purpose = self.purpose.value
        if purpose == "measured":
            found = Exemption(
                value=read_number(self.value.text()), limit=read_number(self.limit.text()),
                unit=clean_text(self.unit.text(), lines=False),
                source=clean_text(self.limit_source.text(), lines=False),
            )  # fmt: skip
        elif purpose in ("recall", "maintenance"):
            found = Exemption(reference=clean_text(self.reference.text(), lines=False))
        else:
            return None
        return found if found != Exemption() else None

    def _entry(self, part: str) -> PartEntry:
        before = self.correcting if isinstance(self.correcting, PartEntry) else None
        scene = self.scene
        cost, labour = read_number(self.cost.text()), read_number(self.labour.text())
        currency = scene.currency if scene is not None and scene.currency else "EUR"
        return PartEntry(
            id=before.id if before is not None else NEW,
            at=before.at if before is not None else None,
            by=before.by if before is not None else "",
            kind="part",
            source="reported" if self.source.value == "reported" else "own",
            part=part,
            position=self.position.value,
            section=self.section.value,
            stage=cast("Stage", self.stage.value),
            purpose=cast("Purpose", self.purpose.value),
            exemption=self._exemption(),
            effect=cast("Effect", self.effect.value) if self.effect.value and self.stage.value == "fitted" else None,
            found=clean_text(self.found.text()) if self.stage.value != "planned" else "",
            cost=Money(value=cost, currency=currency) if cost is not None else None,
            labour_minutes=labour if labour is not None and labour >= 0 else None,
            returnable=False if self.no_return.isChecked() else None,
            needs_programming=True if self.programming.isChecked() else None,
            override=before.override if before is not None else None,
            guard=before.guard if before is not None else None,
            reason=clean_text(self.reason.text()),
            text=clean_text(self.text.toPlainText()),
        )

    def begin(self, entry: TimelineEntry | None) -> None:
        """Empties the form, or fills it with a line."""
        super().begin(entry)
        for edit in self._edits().values():
            edit.clear()
        for name, value in (("stage", "planned"), ("position", ""), ("purpose", "diagnostic"), ("effect", ""),
                            ("source", "own"), ("section", "")):  # fmt: skip
            self._choices()[name].choose(value)
        for tick in (self.no_return, self.programming):
            tick.setChecked(False)
        self.text.setPlainText("")
        if isinstance(entry, PartEntry):
            self._fill(entry)
        self._changed()
        self._touched = False

    def _fill(self, entry: PartEntry) -> None:
        exemption = entry.exemption or Exemption()
        texts = {
            "part": entry.part, "reference": exemption.reference, "value": _figure(exemption.value),
            "limit": _figure(exemption.limit), "unit": exemption.unit, "limit_source": exemption.source,
            "cost": _figure(entry.cost.value if entry.cost is not None else None),
            "labour": _figure(entry.labour_minutes), "found": entry.found, "reason": entry.reason,
        }  # fmt: skip
        for name, text in texts.items():
            self._edits()[name].setText(text)
        for name, value in (
            ("stage", entry.stage), ("position", entry.position), ("purpose", entry.purpose),
            ("effect", entry.effect or ""), ("source", entry.source), ("section", entry.section),
        ):  # fmt: skip
            self._choices()[name].choose(value)
        self.no_return.setChecked(entry.returnable is False)
        self.programming.setChecked(entry.needs_programming is True)
        self.text.setPlainText(entry.text)

    def to_draft(self) -> dict[str, object]:
        """Returns what is typed."""
        if not self._touched or not any(edit.text() for edit in self._edits().values()):
            return {}
        return {
            **{name: edit.text() for name, edit in self._edits().items()},
            **{name: choice.value for name, choice in self._choices().items()},
            "no_return": self.no_return.isChecked(), "programming": self.programming.isChecked(),
            "text": self.text.toPlainText(),
        }  # fmt: skip

    def from_draft(self, kept: dict[str, object]) -> None:
        """Shows what was typed before."""
        for name, edit in self._edits().items():
            edit.setText(str(kept.get(name, "")))
        for name, choice in self._choices().items():
            choice.choose(str(kept.get(name, "")))
        self.no_return.setChecked(kept.get("no_return") is True)
        self.programming.setChecked(kept.get("programming") is True)
        self.text.setPlainText(str(kept.get("text", "")))
        self._changed()

    def first(self) -> QWidget:
        """Returns the part's name."""
        return self.part


def _figure(value: float | None) -> str:
    return f"{value:g}" if value is not None else ""
