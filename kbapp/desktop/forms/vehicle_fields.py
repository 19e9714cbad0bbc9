"""The fields of a vehicle: what the book knows completes what is typed, and one field may follow from another."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.suggest_edit import LineEdit, SuggestEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.i18n import N_, _

if TYPE_CHECKING:
    from kbapp.app.vehicle_names import VehicleField, VehicleNames

LABELS = {
    "make": N_("Make"), "family": N_("Family"), "generation": N_("Generation"), "engine": N_("Engine"),
    "model_year": N_("Model year"), "odometer": N_("Distance driven"), "platform": N_("Platform"),
    "transmission": N_("Transmission"),
}  # fmt: skip
SHORT = ("make", "family", "generation", "engine", "model_year", "odometer")
"""What is asked on the phone."""
_EXAMPLES = {"odometer": N_("such as 128 400 km")}
KNOWN: "tuple[VehicleField, ...]" = ("make", "family", "generation", "engine")
"""Fields the book completes."""


class VehicleFields(QObject):
    """The fields by name. ``changed`` with every key, ``done`` with name and text when a field was finished."""

    changed = Signal()
    done = Signal(str, str)

    def __init__(self, theme: Theme, parent: QObject, names: tuple[str, ...] = SHORT) -> None:
        super().__init__(parent)
        self._book: VehicleNames | None = None
        self.edits: dict[str, LineEdit] = {}
        self.fields: dict[str, Labelled] = {}
        for name in names:
            make = SuggestEdit if name in KNOWN else LineEdit
            edit = make(theme, _(LABELS[name]), _(_EXAMPLES[name]) if name in _EXAMPLES else "")
            edit.textChanged.connect(lambda _text, n=name: self._typed(n))
            edit.done.connect(lambda text, n=name: self._done(n, text))
            self.edits[name] = edit
            self.fields[name] = Labelled(theme, _(LABELS[name]), edit)

    def know(self, names: "VehicleNames") -> None:
        """Takes over the vehicles of the book."""
        self._book = names
        self._offer()

    def texts(self) -> dict[str, str]:
        """Returns what is written."""
        return {name: edit.text().strip() for name, edit in self.edits.items()}

    def put(self, texts: dict[str, str]) -> None:
        """Writes other texts without telling anyone."""
        for name, edit in self.edits.items():
            edit.blockSignals(True)
            edit.put(texts.get(name, ""))
            edit.blockSignals(False)
        self._offer()

    def _told(self) -> "dict[VehicleField, str]":
        return {name: self.edits[name].text().strip() for name in KNOWN}

    def _offer(self) -> None:
        if self._book is None:
            return
        told = self._told()
        for name in KNOWN:
            edit = self.edits[name]
            if isinstance(edit, SuggestEdit):
                edit.offer(self._book.offered(name, told))

    def _typed(self, name: str) -> None:
        if name in KNOWN:
            self._offer()
        self.changed.emit()

    def _done(self, name: str, text: str) -> None:
        self.done.emit(name, text)
        if name == "family" and text.strip() and self._book is not None:
            make = self._book.follows("make", {"family": text.strip()})
            edit = self.edits["make"]
            if make and not edit.text().strip():
                edit.put(make)
                self.done.emit("make", make)
