"""Parts fitted before the call, each with what it changed: a row to write one, chips for those that stand."""

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kbapp.app.triage import PartTold
from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.labelled import RING
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.forms.suggest_edit import SuggestEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.chip import Chip
from kbapp.i18n import _
from kbapp.records.vocabulary import POSITIONS
from kbapp.wording.terms import term, terms


class PartsTold(QWidget):
    """``changed`` when a part is added or taken away; ``go_on`` on Enter while the field is blank."""

    changed = Signal()
    go_on = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme, self._parts = theme, tuple[PartTold, ...]()
        self._chips = FlowBox()
        self.edit = SuggestEdit(theme, _("Part fitted before"), _("such as thermostat; Enter, then what it changed"))
        blank = ("", _("where"))
        self.position = PickOne(
            theme, _("Where the part sits"), (blank, *((p, term("position", p)) for p in POSITIONS))
        )
        self.effect = PickOne(theme, _("What the part changed"), (("", _("not told")), *terms("effect")))
        self._add = Button(theme, _("Add"), "plain")
        self._add.setAccessibleName(_("Add the part"))
        self.edit.go_on.connect(self._entered)
        self.position.go_on.connect(self.effect.setFocus)
        self.effect.go_on.connect(self.add)
        self._add.clicked.connect(self.add)
        line = QHBoxLayout()
        line.setSpacing(6)
        line.addWidget(self.edit, 4)
        line.addWidget(self.position, 2)
        line.addWidget(self.effect, 2)
        line.addWidget(self._add)
        column = QVBoxLayout(self)
        column.setContentsMargins(RING, 0, RING, RING)
        column.setSpacing(6)
        column.addWidget(self._chips)
        self._chips.put(())
        column.addLayout(line)
        self.setAccessibleName(_("Parts fitted before"))

    @property
    def parts(self) -> tuple[PartTold, ...]:
        """The parts that stand, and the one half written."""
        rest = " ".join(self.edit.text().split())
        return (*self._parts, self._made(rest)) if rest else self._parts

    def put(self, parts: Iterable[PartTold]) -> None:
        """Shows other parts."""
        self._parts = tuple(parts)
        self._chips.put([self._chip(part) for part in self._parts])

    def _made(self, name: str) -> PartTold:
        return PartTold.model_validate(
            {"part": name, "position": self.position.value(), "effect": self.effect.value() or None}
        )

    def _entered(self) -> None:
        if self.edit.text().strip():
            self.effect.setFocus()
        else:
            self.go_on.emit()

    def add(self) -> None:
        """Adds the part that is written."""
        parts = self.parts
        self.edit.put("")
        self.position.put("")
        self.effect.put("")
        if parts != self._parts:
            self.put(parts)
            self.changed.emit()
        self.edit.setFocus()

    def _chip(self, part: PartTold) -> Chip:
        where = " ".join(filter(None, (part.part, term("position", part.position))))
        chip = Chip(self._theme, where, term("effect", part.effect) if part.effect else "")
        name = _("{part}, take it away").format(part=" ".join(filter(None, (where, chip.value))))
        chip.setAccessibleName(name)
        chip.setToolTip(name)
        chip.clicked.connect(lambda: self._remove(part))
        return chip

    def _remove(self, part: PartTold) -> None:
        self.put(kept for kept in self._parts if kept is not part)
        self.changed.emit()
        self.edit.setFocus()
