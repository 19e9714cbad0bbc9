"""Narrow by: the values found in the matching cases, with counts, to tick. Zero stays in sight, disabled."""

from collections.abc import Mapping, Sequence
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.look_first.conditions import Conditions
from kbapp.desktop.look_first.labels import facet_label, facet_value_label
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.facets import FacetHead, FacetValue
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.themed import Painted
from kbapp.desktop.widgets.whole_scroll import WholeScroll
from kbapp.i18n import _
from kbapp.lookup.question import FACETS, FacetCount

SHOWN: Final = 6
"""Values of a field shown before "Show all"."""
_UNFOLDED: Final = ("symptom", "state", "cause_section")
_ORDER: Final = ("symptom", "state", "cause_section", *(f for f in FACETS if f not in _UNFOLDED))


class _Group:
    """One field: its head, its values, and the button that shows the rest."""

    def __init__(self, theme: Theme, field: str) -> None:
        self.field = field
        self.head = FacetHead(theme, facet_label(field), unfolded=field in _UNFOLDED)
        self.values: dict[str, FacetValue] = {}
        self.more = Button(theme, "", "quiet")
        self.all_shown = False

    def arrange(self) -> None:
        """Shows and hides what belongs to the present state."""
        self.head.setVisible(bool(self.values))
        unfolded = self.head.isChecked()
        rows = list(self.values.values())
        for place, row in enumerate(rows):
            row.setVisible(unfolded and (self.all_shown or place < SHOWN or row.isChecked()))
        hidden = len(rows) - SHOWN
        self.more.setText(_("Show {n} more").format(n=hidden))
        self.more.setVisible(unfolded and hidden > 0 and not self.all_shown)


class _Page(Painted):
    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the page."""
        ink.fill(0, 0, width, height, "page")


class NarrowColumn(QWidget):
    """All fields one can narrow by. ``ticked(field, value, on)`` is sent when a box is ticked or unticked."""

    ticked = Signal(str, str, bool)
    cleared = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.head = SectionHead(theme, _("Narrow by"))
        self._page = _Page(theme)
        self._rows = QVBoxLayout(self._page)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(0)
        self._groups = {field: _Group(theme, field) for field in _ORDER}
        for group in self._groups.values():
            self._rows.addWidget(group.head)
            self._rows.addWidget(group.more)
            group.head.hide()
            group.more.hide()
            group.head.toggled.connect(lambda _on, g=group: g.arrange())
            group.more.clicked.connect(lambda _on=False, g=group: self._show_all(g))
        self._rows.addStretch()
        self.clear_button = Button(theme, _("Narrow by nothing"), "quiet", "x")
        self.clear_button.clicked.connect(self.cleared)
        self.area = WholeScroll(theme, self._page)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.area, 1)
        column.addWidget(self.clear_button)
        self.clear_button.hide()
        self.setAccessibleName(_("Narrow by"))
        self.setMinimumWidth(150)

    def _show_all(self, group: _Group) -> None:
        group.all_shown = True
        group.arrange()

    def show_counts(self, facets: Mapping[str, Sequence[FacetCount]], conditions: Conditions, *, fresh: bool) -> None:
        """Shows counts. ``fresh``: another question, so values that no longer occur are dropped, not kept at zero."""
        self.setUpdatesEnabled(False)
        for field, group in self._groups.items():
            self._fill(group, facets.get(field, ()), conditions.ticked(field), fresh=fresh)
        self._page.updateGeometry()
        self.clear_button.setVisible(bool(conditions.narrow))
        self.setUpdatesEnabled(True)

    def _fill(self, group: _Group, counts: Sequence[FacetCount], ticked: tuple[str, ...], *, fresh: bool) -> None:
        found = {item.value: item.count for item in counts}
        if fresh:
            for value in [value for value in group.values if value not in found and value not in ticked]:
                row = group.values.pop(value)
                self._rows.removeWidget(row)
                row.hide()
                row.deleteLater()
        for value in (*found, *ticked):
            if value not in group.values:
                group.values[value] = self._value(group.field, value)
        for value, row in group.values.items():
            row.blockSignals(True)
            row.setChecked(value in ticked)
            row.blockSignals(False)
            row.set_count(found.get(value, 0))
        self._order(group, fresh=fresh)
        group.arrange()

    def _order(self, group: _Group, *, fresh: bool) -> None:
        # a fresh question brings the values into order; while boxes are ticked no line moves away under the finger
        rows = list(group.values.values())
        if fresh:
            rows.sort(key=lambda row: (not row.isChecked(), -row.count, row.text().casefold()))
            group.values = {row.value: row for row in rows}
        start = self._rows.indexOf(group.head) + 1
        before: QWidget = group.head
        for place, row in enumerate(rows):
            if self._rows.indexOf(row) != start + place:
                self._rows.removeWidget(row)
                self._rows.insertWidget(start + place, row)
            QWidget.setTabOrder(before, row)
            before = row

    def _value(self, field: str, value: str) -> FacetValue:
        row = FacetValue(self._theme, field, value, facet_value_label(field, value))
        row.toggled.connect(lambda on: self.ticked.emit(field, value, on))
        return row

    def enter(self) -> None:
        """Moves the focus to the first field that has values."""
        for group in self._groups.values():
            if group.values:
                group.head.setFocus()
                return

    def values(self, field: str) -> dict[str, FacetValue]:
        """Returns the rows of a field by value."""
        return dict(self._groups[field].values)

    def head_of(self, field: str) -> FacetHead:
        """Returns the head of a field."""
        return self._groups[field].head
