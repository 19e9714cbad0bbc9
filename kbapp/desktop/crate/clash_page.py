"""Both versions of a case side by side: tick the fields to take from the pack."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.crate.row_list import RowList
from kbapp.desktop.crate.rows import clash_rows
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.paper import Paper
from kbapp.i18n import _

if TYPE_CHECKING:
    from kbapp.app.crate import Clash


class ClashPage(QWidget):
    """``settled`` is sent with a case and the fields to take of it whenever they change."""

    settled = Signal(str, object)
    left = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._case = ""
        self._clash: Clash | None = None
        self._taken: frozenset[str] = frozenset()
        self.head = SectionHead(theme, _("Both versions"))
        self.list = RowList(theme, _("Fields that differ"))
        self.back_button = Button(theme, _("Back to the plan"), "plain", "left")
        self.all_button = Button(theme, _("Take all from the pack"), "plain")
        self.none_button = Button(theme, _("Keep all of yours"), "plain")
        bar = Paper(theme)
        row = FlowRow(8, bar)
        row.setContentsMargins(11, 5, 11, 5)
        for button in (self.back_button, self.all_button, self.none_button):
            row.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(bar)
        column.addWidget(self.list, 1)
        self.list.toggled.connect(self._toggle)
        self.back_button.clicked.connect(self.left)
        self.all_button.clicked.connect(lambda: self._put(self._all_fields()))
        self.none_button.clicked.connect(lambda: self._put(frozenset()))

    def show_clash(self, case_id: str, clash: "Clash", taken: frozenset[str]) -> None:
        """Shows the fields in which two versions differ."""
        self._case, self._clash, self._taken = case_id, clash, taken
        self.head.set_text(
            _("Both versions"),
            _("Case {number}: left yours, right theirs; ticked fields are taken").format(number=clash.mine.number),
        )
        self._show()

    def _show(self) -> None:
        if self._clash is not None:
            self.list.show_rows(clash_rows(self._clash, self._taken))

    def _all_fields(self) -> frozenset[str]:
        return frozenset(row.key for row in self.list.lines.rows)

    def _toggle(self, place: int) -> None:
        self._put(self._taken ^ {self.list.lines.rows[place].key})

    def _put(self, taken: frozenset[str]) -> None:
        self._taken = taken
        self._show()
        self.settled.emit(self._case, taken)
