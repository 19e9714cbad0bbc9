"""The conditions of a test: each met, not met, or not said."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kbapp.desktop.split_board.fields import Tick
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.i18n import _
from kbapp.records.section_map import MapCondition
from kbapp.records.timeline import ConditionMet


class ConditionLine(QWidget):
    """One condition: a tick for met, a button for not met."""

    changed = Signal()

    def __init__(self, theme: Theme, condition: MapCondition) -> None:
        super().__init__()
        self.condition = condition
        self.met = Tick(theme, condition.name[:1].upper() + condition.name[1:])
        self.not_met = Button(theme, _("Not met"), "quiet")
        self.not_met.setCheckable(True)
        self.not_met.setAccessibleName(_("Not met: {condition}").format(condition=condition.name))
        self.met.toggled.connect(lambda on: self._tell(self.not_met, on=on))
        self.not_met.toggled.connect(lambda on: self._tell(self.met, on=on))
        row = QHBoxLayout(self)
        row.setContentsMargins(3, 2, 3, 2)
        row.setSpacing(2)
        row.addWidget(self.met, 1)
        row.addWidget(self.not_met)

    def _tell(self, other: Tick | Button, *, on: bool) -> None:
        if on:
            other.setChecked(False)
        self.changed.emit()

    def value(self) -> bool | None:
        """Returns whether it is met, None where nothing is said."""
        if self.met.isChecked():
            return True
        return False if self.not_met.isChecked() else None

    def put(self, value: bool | None) -> None:  # noqa: FBT001 - a value, not a switch
        """Shows another answer."""
        self.met.setChecked(value is True)
        self.not_met.setChecked(value is False)


class Checklist(QWidget):
    """All conditions of a test."""

    changed = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.lines: list[ConditionLine] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.setAccessibleName(_("Conditions"))

    def show_conditions(self, conditions: tuple[MapCondition, ...]) -> None:
        """Shows the conditions of another test."""
        for line in self.lines:
            line.hide()
            line.deleteLater()
        self.lines = []
        for condition in conditions:
            line = ConditionLine(self._theme, condition)
            line.changed.connect(self.changed)
            self._column.addWidget(line)
            self.lines.append(line)
        self.setVisible(bool(conditions))

    def values(self) -> tuple[ConditionMet, ...]:
        """Returns what was said, in the order of the list."""
        return tuple(
            ConditionMet(id=line.condition.id, met=line.value()) for line in self.lines if line.value() is not None
        )

    def put(self, answers: dict[str, bool]) -> None:
        """Shows other answers."""
        for line in self.lines:
            line.put(answers.get(line.condition.id))
