"""Which column feeds which field: a choice for each column, with what stands in it."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.app.tables import Column
from kbapp.desktop.forms.field_grid import FieldGrid
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.theme.theme import Theme
from kbapp.i18n import _
from kbapp.wording.import_words import import_field_terms


class Columns(QWidget):
    """``changed`` when another field is chosen."""

    changed = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.picks: dict[str, PickOne] = {}
        self._grid: FieldGrid | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)

    def show_columns(self, columns: Sequence[Column], *, again: bool = False) -> None:
        """Shows the columns of another table; of the same one (``again``) what was chosen stays."""
        chosen = {name: pick.value() for name, pick in self.picks.items()} if again else {}
        if self._grid is not None:
            self._column.removeWidget(self._grid)
            self._grid.hide()
            self._grid.deleteLater()
        self.picks = {}
        fields = []
        terms = (("", _("not used")), *import_field_terms())
        for column in columns:
            name = _("Column {name} is").format(name=column.name)
            pick = PickOne(self._theme, name, terms)
            pick.put(chosen.get(column.name, column.field))
            pick.done.connect(lambda field, c=column.name: self._chosen(c, field))
            pick.go_on.connect(lambda p=pick: p.focusNextChild())
            self.picks[column.name] = pick
            field = Labelled(self._theme, name, pick)
            values = "; ".join(column.values)
            field.say(_("such as {values}").format(values=values[:90]) if values else _("(empty)"))
            fields.append(field)
        self._grid = FieldGrid(self._theme, fields, most=3)
        self._column.addWidget(self._grid)

    def _chosen(self, column: str, field: str) -> None:
        for name, pick in self.picks.items():
            if name != column and field and pick.value() == field:
                pick.put("")  # one column feeds one field
        self.changed.emit()

    def mapping(self) -> dict[str, str]:
        """Returns field → column."""
        return {pick.value(): name for name, pick in self.picks.items() if pick.value()}
