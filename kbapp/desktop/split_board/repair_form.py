"""Saying that the vehicle is repaired: the cause that was found, and what was done about it."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from kbapp.desktop.split_board.fields import Choice, Labelled, Tick, side_by_side
from kbapp.desktop.split_board.form import Form, FormScene
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import RuledEdit, ValueEdit
from kbapp.i18n import _
from kbapp.records.base import clean_text
from kbapp.records.case import Cause, Correction, CorrectionPart
from kbapp.records.section_map import NOT_ON_MAP
from kbapp.records.timeline import PartEntry, ServiceEntry, TimelineEntry


class RepairForm(Form):
    """``repaired`` is sent with cause and correction."""

    kind = "repair"
    repaired = Signal(object, object)

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self._touched = False
        self.cause = RuledEdit(
            theme, _("What was the cause?"), _("such as: impeller of the water pump loose on its shaft")
        )
        self.section = Choice(theme, _("Section of the cause"))
        self.part = ValueEdit(theme, _("Part of the cause"))
        self.separated = Tick(theme, _("Several changes at once: the cause is not separated"))
        self.correction = RuledEdit(
            theme, _("What was done about it?"), _("such as: water pump, coolant, vacuum filled")
        )
        self.record_button = Button(theme, _("It is repaired"), "primary", "tick")
        self.section_row = side_by_side(
            theme,
            Labelled(theme, _("Section of the cause"), self.section),
            Labelled(theme, _("Part of the cause"), self.part),
        )
        for widget in (
            side_by_side(theme, self.cause), self.section_row, self.separated, side_by_side(theme, self.correction),
        ):  # fmt: skip
            self.column.addWidget(widget)
        self.column.addStretch()
        self.foot.flow.addWidget(self.record_button)
        self.foot.refit()
        for edit in (self.cause, self.correction):
            edit.textChanged.connect(self._write)
        self.part.textChanged.connect(self._write)
        self.cause.go_on.connect(self.section.setFocus)
        self.correction.go_on.connect(self.record_button.setFocus)
        self.separated.toggled.connect(lambda _on: self._write())
        self.record_button.clicked.connect(self.submit)

    def _write(self) -> None:
        self._touched = True
        self.written.emit()

    def show_scene(self, scene: FormScene) -> None:
        """Takes over the sections of the map; the leading one is proposed."""
        fresh = self.scene is None or self.scene.case.id != scene.case.id
        super().show_scene(scene)
        items = [("", _("no section named"))]
        if scene.section_map is not None:
            items += [(section.id, section.name) for section in scene.section_map.sections]
            items.append((NOT_ON_MAP, _("Not on this map")))
        self.section.offer(items)
        if fresh:
            self._propose()

    def _propose(self) -> None:
        scene = self.scene
        if scene is None:
            return
        if scene.advice is not None:
            view = scene.advice.picture
            self.section.choose(max(view.model.hypotheses, key=view.share))
        last = self._last_part()
        self.part.setText(last.part if last is not None else "")

    def _last_part(self) -> PartEntry | None:
        scene = self.scene
        fitted = [
            e for e in (scene.case.timeline if scene is not None else ())
            if isinstance(e, PartEntry) and e.stage == "fitted" and e.purpose != "temporary" and e.effect != "unchanged"
        ]  # fmt: skip
        return fitted[-1] if fitted else None

    def submit(self) -> None:
        """Says that it is repaired."""
        cause, done = clean_text(self.cause.toPlainText()), clean_text(self.correction.toPlainText())
        for text, edit, words in (
            (cause, self.cause, _("Write the cause that was found.")),
            (done, self.correction, _("Write what was done about it.")),
        ):
            if not text:
                self.refused.emit(words)
                edit.setFocus()
                return
        scene, last = self.scene, self._last_part()
        services = tuple(
            entry.text[:500].replace("\n", " ") for entry in (scene.case.timeline if scene is not None else ())
            if isinstance(entry, ServiceEntry) and entry.text and entry.source == "own"
        )  # fmt: skip
        parts = (CorrectionPart(part=last.part, position=last.position),) if last is not None else ()
        part = clean_text(self.part.text(), lines=False)[:500]
        self.repaired.emit(
            Cause(text=cause, section=self.section.value, part=part, separated=not self.separated.isChecked(),
                  position=last.position if last is not None and last.part == part else ""),
            Correction(text=done, parts=parts, services=services),
        )  # fmt: skip

    def begin(self, entry: TimelineEntry | None) -> None:
        """Empties the form; what the case says of cause and correction stands in it."""
        super().begin(entry)
        case = self.scene.case if self.scene is not None else None
        known = case.cause if case is not None else None
        self.cause.setPlainText(known.text if known is not None else "")
        self.correction.setPlainText(case.correction.text if case is not None and case.correction is not None else "")
        self.separated.setChecked(known is not None and not known.separated)
        self._propose()
        if known is not None:
            self.section.choose(known.section)
            self.part.setText(known.part)
        self._touched = False

    def to_draft(self) -> dict[str, object]:
        """Returns what is typed."""
        if not self._touched:
            return {}
        kept = {"cause": self.cause.toPlainText(), "correction": self.correction.toPlainText()}
        return {**kept, "part": self.part.text(), "section": self.section.value} if any(kept.values()) else {}

    def from_draft(self, kept: dict[str, object]) -> None:
        """Shows what was typed before."""
        self.cause.setPlainText(str(kept.get("cause", "")))
        self.correction.setPlainText(str(kept.get("correction", "")))
        self.part.setText(str(kept.get("part", "")))
        self.section.choose(str(kept.get("section", "")))

    def first(self) -> QWidget:
        """Returns the cause."""
        return self.cause
