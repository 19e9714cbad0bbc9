"""Narrow by: the values found in the matching cases, with counts, to tick. Zero stays in sight, disabled."""

from collections.abc import Mapping, Sequence
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.look_first.conditions import Conditions
from kbapp.desktop.look_first.facet_group import FacetGroup
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.facets import FacetHead, FacetValue
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.themed import Painted
from kbapp.desktop.widgets.whole_scroll import WholeScroll
from kbapp.i18n import _
from kbapp.lookup.question import FACETS, FacetCount

_UNFOLDED: Final = ("symptom", "state", "cause_section")
_ORDER: Final = (*_UNFOLDED, *(field for field in FACETS if field not in _UNFOLDED))


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
        self.head = SectionHead(theme, _("Narrow by"))
        page = _Page(theme)
        groups = QVBoxLayout(page)
        groups.setContentsMargins(0, 0, 0, 0)
        groups.setSpacing(0)
        self._groups = {field: FacetGroup(theme, field, unfolded=field in _UNFOLDED) for field in _ORDER}
        for group in self._groups.values():
            groups.addWidget(group)
            group.ticked.connect(self.ticked)
        groups.addStretch()
        self.clear_button = Button(theme, _("Narrow by nothing"), "quiet", "x")
        self.clear_button.clicked.connect(self.cleared)
        self.area = WholeScroll(theme, page)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.area, 1)
        column.addWidget(self.clear_button)
        self.clear_button.hide()
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setAccessibleName(_("Narrow by"))
        self.setMinimumWidth(150)

    def show_counts(self, facets: Mapping[str, Sequence[FacetCount]], conditions: Conditions, *, fresh: bool) -> None:
        """Shows counts; ``fresh`` where they answer another question and not only a narrower one."""
        for field, group in self._groups.items():
            counts = {item.value: item.count for item in facets.get(field, ())}
            group.show_counts(counts, conditions.ticked(field), fresh=fresh)
        self.clear_button.setVisible(bool(conditions.narrow))

    def enter(self) -> None:
        """Moves the focus to the first field that has values."""
        for group in self._groups.values():
            if not group.isHidden():
                group.head.setFocus()
                return

    def values(self, field: str) -> dict[str, FacetValue]:
        """Returns the lines in sight of a field by value."""
        return self._groups[field].values()

    def head_of(self, field: str) -> FacetHead:
        """Returns the head of a field."""
        return self._groups[field].head
