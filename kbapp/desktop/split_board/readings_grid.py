"""Readings by place and repeat: a field each, places and repeats to add, one unit."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from kbapp.app.typed_readings import typed_reading
from kbapp.desktop.split_board.button_row import ButtonRow
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.i18n import _
from kbapp.records.section_map import MapTest
from kbapp.records.timeline import Reading
from kbapp.wording.case_words import unit_words

MOST_REPEATS = 12
FREE_UNITS = ("", "V", "A", "ohm", "degC", "kPa", "bar", "mm", "N", "rpm")


class ReadingsGrid(QWidget):
    """``changed`` is sent with every key."""

    changed = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._places: list[str] = []
        self._named: list[ValueEdit] = []
        self._repeats = 1
        self._unit = ""
        self.fields: dict[tuple[int, int], ValueEdit] = {}
        self._grid_page = QWidget()
        self._grid = QGridLayout(self._grid_page)
        self._grid.setContentsMargins(theme.look.metrics.pad + 2, 2, theme.look.metrics.pad, 2)
        self._grid.setHorizontalSpacing(6)
        self._grid.setVerticalSpacing(4)
        self.unit = ValueEdit(theme, _("Unit"))
        self.unit.setPlaceholderText(_("unit"))
        self.unit.setMaximumWidth(theme.look.metrics.row * 3)
        self.repeat_button = Button(theme, _("One repeat more"), "quiet", "plus")
        self.place_button = Button(theme, _("Another place"), "quiet", "plus")
        self._unit_label = TextLabel(theme, "", "body", "ink2")
        self.row = ButtonRow(theme, (self.unit, self.repeat_button, self.place_button))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._grid_page)
        column.addWidget(self.row)
        self.repeat_button.clicked.connect(self._more_repeats)
        self.place_button.clicked.connect(self._more_places)
        self.unit.textChanged.connect(self.changed)
        self.setAccessibleName(_("Readings"))

    def show_test(self, test: MapTest | None) -> None:
        """Shows the places of a map's test, or one place without a name for a test in free words."""
        plan = test.readings if test is not None else None
        self._places = list(plan.places) if plan is not None and plan.places else [""]
        self._repeats = test.repeats if test is not None else 1
        self._unit = plan.unit if plan is not None else ""
        self.unit.blockSignals(True)
        self.unit.setText(unit_words(self._unit))
        self.unit.blockSignals(False)
        self._renew({})

    def _renew(self, texts: dict[tuple[int, int], str]) -> None:
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None and widget is not self._unit_label:
                widget.hide()
                widget.deleteLater()
        self.fields, self._named = {}, []
        for row, place in enumerate(self._places):
            self._grid.addWidget(self._place_head(place), row, 0)
            for repeat in range(self._repeats):
                self._grid.addWidget(self._field(row, repeat, place, texts.get((row, repeat), "")), row, repeat + 1)
        self._grid.addWidget(self._unit_label, 0, self._repeats + 1)
        self._grid.setColumnStretch(self._repeats + 1, 1)

    def _place_head(self, place: str) -> QWidget:
        if place and place in self._fixed_places():
            label = TextLabel(self._theme, place, "body", weight=500)
            label.setMinimumWidth(self._theme.look.metrics.row)
            return label
        edit = ValueEdit(self._theme, _("Place of the reading"))
        edit.setPlaceholderText(_("place"))
        edit.setText(place)
        edit.setMaximumWidth(self._theme.look.metrics.row * 4)
        edit.textChanged.connect(self.changed)
        self._named.append(edit)
        edit.setProperty("row", len(self._named))
        return edit

    def _fixed_places(self) -> list[str]:
        return [place for place in self._places if place]

    def _field(self, row: int, repeat: int, place: str, text: str) -> ValueEdit:
        name = _("{place}, reading {n}").format(place=place or _("Reading"), n=repeat + 1)
        edit = ValueEdit(self._theme, name)
        edit.setPlaceholderText(str(repeat + 1) if self._repeats > 1 else "")
        edit.setFont(self._theme.look.mono("reading"))
        edit.setMinimumWidth(self._theme.look.metrics.row + 20)
        edit.setMaximumWidth(self._theme.look.metrics.row * 3)
        edit.setText(text)
        edit.textChanged.connect(self.changed)
        edit.returnPressed.connect(lambda: self._next(row, repeat))
        self.fields[row, repeat] = edit
        return edit

    def _next(self, row: int, repeat: int) -> None:
        order = sorted(self.fields, key=lambda key: (key[1], key[0]))
        place = order.index((row, repeat)) + 1
        if place < len(order):
            self.fields[order[place]].setFocus(Qt.FocusReason.TabFocusReason)
        else:
            self.focusNextChild()

    def _texts(self) -> dict[tuple[int, int], str]:
        return {key: edit.text() for key, edit in self.fields.items()}

    def _more_repeats(self) -> None:
        if self._repeats < MOST_REPEATS:
            self._places = self._place_names()
            self._repeats += 1
            self._renew(self._texts())
            self.fields[0, self._repeats - 1].setFocus()

    def _more_places(self) -> None:
        self._places = [*self._place_names(), ""]
        self._renew(self._texts())
        self._named[-1].setFocus()

    def _place_names(self) -> list[str]:
        names = [edit.text().strip() for edit in self._named]
        return [place or (names.pop(0) if names else "") for place in self._places]

    def show_unit(self, *, shown: bool) -> None:
        """Writes the unit behind the fields, where its own field is not shown."""
        self._unit_label.setText(unit_words(self._unit) if shown else "")

    def typed(self) -> bool:
        """Returns whether any reading is typed."""
        return any(edit.text().strip() for edit in self.fields.values())

    def _unit_id(self) -> str:
        typed = self.unit.text().strip()
        return self._unit if typed == unit_words(self._unit) else typed

    def readings(self) -> tuple[Reading, ...]:
        """Returns what was read, repeat by repeat."""
        places = self._place_names()
        unit = self._unit_id()
        order = sorted(self.fields, key=lambda key: (key[1], key[0]))
        found = (typed_reading(self.fields[key].text(), places[key[0]][:500], unit, key[1] + 1) for key in order)
        return tuple(reading for reading in found if reading is not None)

    def to_draft(self) -> dict[str, object]:
        """Returns everything typed, as plain values."""
        return {
            "places": self._place_names(),
            "unit": self.unit.text(),
            "repeats": self._repeats,
            "texts": [[row, repeat, text] for (row, repeat), text in self._texts().items() if text],
        }

    def from_draft(self, kept: dict[str, object]) -> None:
        """Shows what was typed before."""
        places, repeats, texts = kept.get("places"), kept.get("repeats"), kept.get("texts")
        if isinstance(places, list) and places:
            self._places = [str(place) for place in places]
        if isinstance(repeats, int):
            self._repeats = max(1, min(MOST_REPEATS, repeats))
        found: dict[tuple[int, int], str] = {}
        for item in texts if isinstance(texts, list) else ():
            if isinstance(item, list) and len(item) == 3 and isinstance(item[0], int) and isinstance(item[1], int):
                found[item[0], item[1]] = str(item[2])
        self.unit.setText(str(kept.get("unit", "")))
        self._renew(found)

    def put(self, readings: tuple[Reading, ...]) -> None:
        """Shows readings that were recorded."""
        if not readings:
            return
        places = list(dict.fromkeys([*(p for p in self._places if p), *(reading.where for reading in readings)]))
        self._places = places or [""]
        self._repeats = max(self._repeats, max(reading.repeat for reading in readings))
        texts = {}
        for reading in readings:
            value = f"{reading.value:g}" if isinstance(reading.value, float) else str(reading.value)
            texts[self._places.index(reading.where), reading.repeat - 1] = value
        self._unit = readings[0].unit
        self.unit.setText(unit_words(self._unit))
        self._renew(texts)
