"""Ties to other cases: which kind, which case; opened with Enter, taken away with a button."""

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import Inset
from kbapp.desktop.forms.full_lines import title_list
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.forms.suggest_edit import LineEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _
from kbapp.records.case import Case, Link
from kbapp.wording.terms import term, terms


class Links(QWidget):
    """``wanted(kind, number)`` to add one, ``dropped(link)`` to take one away, ``opened(id)`` to go there."""

    wanted = Signal(str, str)
    dropped = Signal(object)
    opened = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._links: tuple[Link, ...] = ()
        self._names: Mapping[str, str] = {}
        self.list = title_list(theme, _("Other cases"))
        self.list.opened.connect(lambda row: self.opened.emit(self._links[row].case))
        self.kind = PickOne(theme, _("Kind of tie"), terms("link"))
        self.number = LineEdit(theme, _("Number of the other case"), _("number of the other case"))
        self.add_button = Button(theme, _("Tie to it"), "plain", "plus")
        self.drop_button = Button(theme, _("Take the tie away"), "quiet", "x")
        self.kind.go_on.connect(self.number.setFocus)
        self.number.go_on.connect(self._add)
        self.add_button.clicked.connect(self._add)
        self.drop_button.clicked.connect(self._drop)
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(3, 0, 3, 3)
        line.setSpacing(6)
        line.addWidget(self.kind, 2)
        line.addWidget(self.number, 3)
        box = FlowBox()
        box.put((self.add_button, self.drop_button))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(SectionHead(theme, _("Other cases")))
        column.addWidget(self.list)
        column.addWidget(Inset(theme, row))
        column.addWidget(Inset(theme, box))

    def show_case(self, case: Case) -> None:
        """Shows the ties of a case."""
        self._links = case.links
        self._fill()

    def show_names(self, names: Mapping[str, str]) -> None:
        """Takes over what the other cases are called, by id."""
        self._names = names
        self._fill()

    def _fill(self) -> None:
        self.list.show_rows([
            TitleLine(link.case, self._names.get(link.case, link.case[:8]), term("link", link.kind), "right")
            for link in self._links
        ])  # fmt: skip
        self.drop_button.setEnabled(bool(self._links))

    def _add(self) -> None:
        number = self.number.text().strip()
        if number:
            self.wanted.emit(self.kind.value(), number)
        else:
            self.number.setFocus()

    def _drop(self) -> None:
        at = max(self.list.currentIndex().row(), 0)
        if at < len(self._links):
            self.dropped.emit(self._links[at])
