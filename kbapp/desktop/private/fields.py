"""The fields of the private record."""

from PySide6.QtCore import QObject, Signal

from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.suggest_edit import LineEdit
from kbapp.desktop.private.vin_field import VinField
from kbapp.desktop.theme.theme import Theme
from kbapp.i18n import N_, _
from kbapp.records.base import clean_text
from kbapp.records.private import PrivateDetails

LABELS = {
    "customer": N_("Customer"), "phone": N_("Phone"), "plate": N_("Plate"), "vin": N_("VIN"),
    "order_number": N_("Order number"), "email": N_("E-mail"), "address": N_("Address"),
}  # fmt: skip
SHORT = ("customer", "phone", "plate", "vin", "order_number")
"""What is asked on the phone."""


class PrivateFields(QObject):
    """The fields as a list for a grid; ``changed`` with every key."""

    changed = Signal()

    def __init__(self, theme: Theme, parent: QObject, *, whole: bool) -> None:
        super().__init__(parent)
        names = tuple(LABELS) if whole else SHORT
        self.vin = VinField(theme, offers_years=not whole)
        self.edits: dict[str, LineEdit] = {}
        self.fields: list[Labelled] = []
        for name in names:
            if name == "vin":
                self.edits[name] = self.vin.edit
                self.fields.append(self.vin)
            else:
                self.edits[name] = LineEdit(theme, _(LABELS[name]))
                self.fields.append(Labelled(theme, _(LABELS[name]), self.edits[name], wide=name == "address"))
            self.edits[name].textChanged.connect(lambda _text: self.changed.emit())
        self._kept = PrivateDetails()

    def details(self) -> PrivateDetails:
        """Returns what is written; what these fields do not show stays as it was."""
        texts = {name: clean_text(edit.text(), lines=False)[:500] for name, edit in self.edits.items()}
        texts["vin"] = self.vin.text()[:500]
        return self._kept.model_copy(update=texts)

    def put(self, details: PrivateDetails) -> None:
        """Shows other details."""
        self._kept = details
        for name, edit in self.edits.items():
            edit.put(" ".join(getattr(details, name).split()))
