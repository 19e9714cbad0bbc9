"""The private record of one case: shown, changed, erased; never part of the case."""

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.private.fields import PrivateFields
from kbapp.desktop.private.scanner import Scanner
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.errors import InputError
from kbapp.i18n import _
from kbapp.records.private import PrivateDetails
from kbapp.wording import sentence


class PrivatePage(FormPage):
    """``kept`` with details to keep, ``erased`` to erase them, ``left`` to go back to the case."""

    kept = Signal(object)
    erased = Signal()
    left = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, _("Private record"))
        self._theme = theme
        self._before = PrivateDetails()
        self.place = NotePlace(theme)
        self.fields = PrivateFields(theme, self, whole=True)
        self.add(self.place)
        remark = _("stays in this book: never in the case, the search or a pack")
        self.section(_("Private record"), self.fields.fields, remark, most=3)
        self.keep_button = Button(theme, _("Keep"), "primary", "tick")
        self.erase_button = Button(theme, _("Erase for good"), "danger", "x")
        self.back_button = Button(theme, _("Back to the case"), "quiet", "left")
        self.keep_button.clicked.connect(self.keep)
        self.erase_button.clicked.connect(self._ask)
        self.back_button.clicked.connect(self.left)
        row = FlowBox()
        row.put((self.keep_button, self.back_button, self.erase_button))
        self.add(Inset(theme, row))
        self.fields.changed.connect(self._enable)
        names = list(self.fields.edits)
        for name, after in zip(names, [*names[1:], ""], strict=True):
            target: QWidget = self.fields.edits[after] if after else self.keep_button
            self.fields.edits[name].go_on.connect(target.setFocus)
        self.scanner: QObject = Scanner(self, self.fields.vin.edit, self.fields.vin.edit.setText)
        self._enable()

    def show_details(self, details: PrivateDetails) -> None:
        """Shows the record of a case."""
        self._before = details
        self.fields.put(details)
        self.place.put(None)
        self._enable()

    @property
    def changed(self) -> bool:
        """Whether something is written that is not kept."""
        return self.fields.details() != self._before

    def _enable(self) -> None:
        self.keep_button.setEnabled(self.changed)
        self.erase_button.setEnabled(not self._before.empty)

    def keep(self) -> None:
        """Keeps what is written."""
        if self.changed:
            self.kept.emit(self.fields.details())

    def _ask(self) -> None:
        sure = Button(self._theme, _("Yes, erase it"), "danger", "x")
        not_now = Button(self._theme, _("No, keep it"), "plain")
        sure.clicked.connect(self._erase)
        not_now.clicked.connect(lambda: self.place.put(None))
        fact = _("Erase customer, phone, plate, VIN and order number of this case?")
        hint = _("There is no way back. The case itself stays. Backups made before keep it until they are replaced.")
        self.place.put(Note(self._theme, "guard", "danger", fact, hint, [not_now, sure]))
        not_now.setFocus()

    def _erase(self) -> None:
        self.place.put(None)
        self.erased.emit()

    def say_erased(self) -> None:
        """Says that the record is gone, and where it still is."""
        words = sentence(InputError("private_erased_note"))
        self.place.put(Note(self._theme, "tick", "good", _("Erased"), words))

    def first(self) -> QWidget:
        """Returns the first field."""
        return self.fields.edits["customer"]
