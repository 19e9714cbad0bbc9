"""One piece of kit: how it stands for all vehicles and for single families, and when its calibration is due."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import FieldGrid
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.forms.suggest_edit import LineEdit, SuggestEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.chip import Chip
from kbapp.desktop.widgets.choice import Choice
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.i18n import _
from kbapp.wording.drafting import STANDINGS, standing_words

if TYPE_CHECKING:
    from kbapp.app.kit import KitLine


class LineForm(FormPage):
    """``stood`` is sent with (standing, family), ``dated`` with a day as typed, ``forgotten`` without anything."""

    stood = Signal(str, str)
    dated = Signal(str)
    forgotten = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, _("One piece of kit"))
        self._theme = theme
        self.title = SectionHead(theme, _("One piece of kit"))
        self.standing = Choice(theme, _("How it stands"), {key: _(words) for key, words in STANDINGS.items()})
        self.due = LineEdit(theme, _("Calibration due"), _("year-month-day, such as 2026-03-31"))
        self.due_field = Labelled(theme, _("Calibration due"), self.due, wide=True)
        self.family = SuggestEdit(theme, _("Family"), _("such as Drovane"))
        known = [(key, _(words)) for key, words in STANDINGS.items() if key]
        self.family_standing = PickOne(theme, _("How it stands on this family"), known)
        self.family_button = Button(theme, _("Note the difference"), "plain", "plus")
        self.families = FlowBox()
        self.families_field = Labelled(theme, _("Noted; press one to take it away"), self.families, wide=True)
        self.forget_button = Button(theme, _("Forget this line"), "danger")
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        theme = self._theme
        self.add(self.title)
        self.add(FieldGrid(theme, [Labelled(theme, _("How it stands"), self.standing, wide=True), self.due_field]))
        self.section(
            _("Where it differs"),
            [
                Labelled(theme, _("Family"), self.family),
                Labelled(theme, _("How it stands on this family"), self.family_standing),
                Labelled(theme, "", self.family_button),
                self.families_field,
            ],
            _("a scan function that one family refuses"),
            most=2,
        )
        self.add(FieldGrid(theme, [Labelled(theme, "", self.forget_button)]))

    def _connect(self) -> None:
        self.standing.chosen.connect(lambda key: self.stood.emit(key, ""))
        self.due.done.connect(self.dated.emit)
        self.family.go_on.connect(self.family_standing.setFocus)
        self.family_standing.go_on.connect(self._differ)
        self.family_button.clicked.connect(self._differ)
        self.forget_button.clicked.connect(self.forgotten.emit)

    def _differ(self) -> None:
        family = " ".join(self.family.text().split())
        if family:
            self.stood.emit(self.family_standing.value(), family)
            self.family.put("")
        self.family.setFocus()

    def offer_families(self, families: Iterable[str]) -> None:
        """Offers the families the book knows."""
        self.family.offer(families)

    def show_line(self, line: "KitLine", due: str) -> None:
        """Shows a piece of kit; ``due`` says when its calibration is due."""
        self.title.set_text(_("Kit: {name}").format(name=line.name))
        self.standing.show_chosen(line.standing or "")
        self.due.put(line.due)
        self.due_field.say(due[:1].upper() + due[1:])
        self.families.put([self._chip(family, standing_words(value)) for family, value in line.families.items()])
        self.families_field.setVisible(bool(line.families))
        self.forget_button.setEnabled(not line.empty)

    def _chip(self, family: str, standing: str) -> Chip:
        chip = Chip(self._theme, family, standing)
        name = _("{family}: {standing}, take it away").format(family=family, standing=standing)
        chip.setAccessibleName(name)
        chip.setToolTip(name)
        chip.clicked.connect(lambda: self.stood.emit("", family))
        return chip

    def first(self) -> QWidget:
        """Returns how the line stands."""
        return next((b for b in self.standing.buttons.values() if b.isChecked()), self.standing.buttons["have"])
