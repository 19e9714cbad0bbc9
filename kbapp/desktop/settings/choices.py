"""The settings chosen from a few: the same rows in the settings and in the first run."""

from collections.abc import Mapping

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from kbapp.app.settings import Settings
from kbapp.desktop.frame.menu import SIZE_NAMES, THEME_NAMES
from kbapp.desktop.preferences import Preferences
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.choice import Choice
from kbapp.desktop.widgets.form import FormRow
from kbapp.i18n import N_, _

UNIT_NAMES = {"metric": N_("Metric: km, °C, bar"), "us": N_("US: miles, °F, psi")}


class ChoiceRow(FormRow):
    """A row with a choice of one."""

    def __init__(self, theme: Theme, label: str, names: Mapping[str, str], remark: str) -> None:
        self.choice = Choice(theme, label, {key: _(words) for key, words in names.items()})
        super().__init__(theme, label, self.choice, remark)


class ChoiceRows(QObject):
    """Size, theme and units; every choice is in force and kept at once."""

    def __init__(self, theme: Theme, preferences: Preferences, parent: QObject) -> None:
        super().__init__(parent)
        self._preferences = preferences
        self.size = self._row(theme, "size", _("Size"), SIZE_NAMES, _("for the desk, a trolley, or from the vehicle"))
        self.theme = self._row(theme, "theme", _("Theme"), THEME_NAMES, "")
        self.units = self._row(theme, "units", _("Units"), UNIT_NAMES, _("what new entries begin with"))
        preferences.changed.connect(self._show)
        self._show(preferences.now)

    def _row(self, theme: Theme, field: str, label: str, names: Mapping[str, str], remark: str) -> ChoiceRow:
        row = ChoiceRow(theme, label, names, remark)
        row.choice.chosen.connect(lambda key: self._preferences.change(**{field: key}))
        return row

    def _show(self, settings: Settings) -> None:
        for row, value in ((self.size, settings.size), (self.theme, settings.theme), (self.units, settings.units)):
            row.choice.show_chosen(value)

    def first(self) -> QWidget:
        """Returns the size that is in force."""
        return self.size.choice.buttons[self._preferences.now.size]
