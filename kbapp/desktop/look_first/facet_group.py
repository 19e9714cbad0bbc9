"""One field of Narrow by: its head, the values in sight, and the button that shows the rest.

Lines are reused for other values, so that an answer with hundreds of values costs no more than the lines in sight.
"""

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.look_first.labels import facet_label, facet_value_label
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.facets import FacetHead, FacetValue
from kbapp.i18n import _

SHOWN: Final = 6
"""Values of a field shown before the rest is asked for."""


class FacetGroup(QWidget):
    """Shows the values of one field. ``ticked(field, value, on)`` is sent when a box is ticked or unticked."""

    ticked = Signal(str, str, bool)

    def __init__(self, theme: Theme, field: str, *, unfolded: bool) -> None:
        super().__init__()
        self._theme, self._field = theme, field
        self._order: list[str] = []
        self._counts: dict[str, int] = {}
        self._on: tuple[str, ...] = ()
        self._all = False
        self._lines: list[FacetValue] = []
        self.head = FacetHead(theme, facet_label(field), unfolded=unfolded)
        self.more = Button(theme, "", "quiet")
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.head)
        self._column.addWidget(self.more)
        self.head.toggled.connect(self._arrange)
        self.more.clicked.connect(self._show_all)
        self.hide()

    def show_counts(self, counts: Mapping[str, int], ticked: tuple[str, ...], *, fresh: bool) -> None:
        """Shows other counts.

        ``fresh``: another question, so values that no longer occur go and the rest come into order. Otherwise they stay
        where they are, at zero, so that no line moves away under the finger.
        """
        kept = [] if fresh else self._order
        order = dict.fromkeys((*kept, *ticked, *counts))
        self._counts, self._on = dict(counts), ticked
        self._order = list(order)
        if fresh:
            self._all = False
            self._order.sort(key=lambda value: (value not in ticked, -counts.get(value, 0), value.casefold()))
        self.setVisible(bool(self._order))
        self._arrange()

    def _arrange(self) -> None:
        unfolded = self.head.isChecked()
        shown = [value for place, value in enumerate(self._order) if self._all or place < SHOWN or value in self._on]
        shown = shown if unfolded else []
        while len(self._lines) < len(shown):
            self._lines.append(self._line())
        for line, value in zip(self._lines, shown, strict=False):
            line.assign(value, facet_value_label(self._field, value), self._counts.get(value, 0), on=value in self._on)
            line.show()
        for line in self._lines[len(shown) :]:
            line.hide()
        hidden = len(self._order) - len(shown)
        self.more.setText(_("Show {n} more").format(n=hidden))
        self.more.setVisible(unfolded and hidden > 0)

    def _line(self) -> FacetValue:
        line = FacetValue(self._theme)
        line.toggled.connect(lambda on: self.ticked.emit(self._field, line.value, on))
        self._column.insertWidget(len(self._lines) + 1, line)
        QWidget.setTabOrder(self._lines[-1] if self._lines else self.head, line)
        QWidget.setTabOrder(line, self.more)
        return line

    def _show_all(self) -> None:
        before = sum(not line.isHidden() for line in self._lines)
        self._all = True
        self._arrange()
        if before < len(self._lines):
            self._lines[before].setFocus()

    def values(self) -> dict[str, FacetValue]:
        """Returns the lines in sight by value."""
        return {line.value: line for line in self._lines if not line.isHidden()}
