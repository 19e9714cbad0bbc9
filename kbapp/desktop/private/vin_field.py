"""The field for a VIN, typed or scanned: what it says about itself, and the model years it can mean."""

from collections.abc import Callable
from datetime import UTC, datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.labelled import RING, Labelled
from kbapp.desktop.forms.suggest_edit import LineEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.buttons import Button
from kbapp.i18n import _
from kbapp.records.vin import fold_vin, read_vin
from kbapp.wording.vin_words import Tone, vin_words

_INKS: dict[Tone, Role] = {"plain": "ink2", "good": "good", "caution": "caution", "danger": "danger"}


class _Box(QWidget):
    """The field with the years below it."""

    def __init__(self, edit: LineEdit, years: FlowBox) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(RING, 0, RING, RING)
        column.setSpacing(4)
        column.addWidget(edit)
        column.addWidget(years)
        years.put(())


class VinField(Labelled):
    """``year_chosen`` is sent with a model year that was taken over from the number."""

    year_chosen = Signal(int)

    def __init__(self, theme: Theme, *, offers_years: bool = True, latest: Callable[[], int] | None = None) -> None:
        self.edit = LineEdit(theme, _("VIN"), _("type or scan it"))
        self._theme, self._offers = theme, offers_years
        self._latest = latest or (lambda: datetime.now(UTC).year + 1)
        self._years = FlowBox()
        super().__init__(theme, _("VIN"), _Box(self.edit, self._years), span=2)
        self.edit.textChanged.connect(self._say)
        self.edit.done.connect(self._fold)

    def text(self) -> str:
        """Returns the number as a VIN is written where it is one, else as it was typed."""
        found = read_vin(self.edit.text()).value
        return found.text if found else " ".join(self.edit.text().split())

    def put(self, text: str) -> None:
        """Shows a number."""
        self.edit.put(text)

    def _fold(self, text: str) -> None:
        if read_vin(text).value is not None:
            self.edit.put(fold_vin(text))

    def _say(self, text: str) -> None:
        words = vin_words(text, self._latest())
        self.say(words.words, _INKS[words.tone])
        self._years.put(
            [self._year(year, likely=year == words.likelier) for year in words.years] if self._offers else []
        )

    def _year(self, year: int, *, likely: bool) -> Button:
        words = _("{year}, the likelier") if likely else _("{year}")
        button = Button(self._theme, words.format(year=year), "quiet", "plus")
        button.setAccessibleName(_("Take over the model year {year}").format(year=year))
        button.clicked.connect(lambda: self.year_chosen.emit(year))
        return button
