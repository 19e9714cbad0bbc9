"""Choosing the section map: those that fit the concern first, then every other one."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.split_board.button_row import ButtonRow
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine
from kbapp.i18n import _, ngettext
from kbapp.records.section_map import SectionMap
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.board import BoardView


def map_rows(maps: Iterable[SectionMap], proposed: Iterable[SectionMap], now: str) -> tuple[TitleLine, ...]:
    """Returns the maps as lines: those that fit the concern first, the one in use marked."""
    fitting = {section_map.id: section_map for section_map in proposed}
    rest = [section_map for section_map in maps if section_map.id not in fitting]
    rows = []
    for section_map in (*fitting.values(), *rest):
        facts = [
            term("system", section_map.system) if section_map.system else "",
            ngettext("{n} section", "{n} sections", len(section_map.sections)).format(n=len(section_map.sections)),
            ngettext("{n} test", "{n} tests", len(section_map.tests)).format(n=len(section_map.tests)),
            _("fits the concern") if section_map.id in fitting else "",
            _("in use") if section_map.id == now else "",
        ]
        rows.append(TitleLine(section_map.id, section_map.title, ", ".join(filter(None, facts)), "map"))
    return tuple(rows)


class MapChooser(QWidget):
    """``chosen`` is sent with a map, or None to go on without one; ``closed`` when nothing changes."""

    chosen = Signal(object)
    closed = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._maps: dict[str, SectionMap] = {}
        self.head = SectionHead(theme, _("Section map"))
        self.lines = LinesModel[TitleLine](lambda row: f"{row.title}. {row.remark}", self)
        self.list = Lines(theme, _("Section maps"), margin=False, whole=True)
        self.list.setModel(self.lines)
        self.list.setItemDelegate(TitleDelegate(theme, self.list))
        self.list.opened.connect(self._take)
        self.take_button = Button(theme, _("Work with this map"), "primary", "tick")
        self.without_button = Button(theme, _("Without a map"), "plain")
        self.close_button = Button(theme, _("Back to the board"), "quiet", "left")
        self.foot = ButtonRow(theme, (self.take_button, self.without_button, self.close_button), "band")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.list, 1)
        column.addWidget(self.foot)
        self.take_button.clicked.connect(lambda: self._take(self.list.currentIndex().row()))
        self.without_button.clicked.connect(lambda: self.chosen.emit(None))
        self.close_button.clicked.connect(self.closed)

    def show_maps(self, maps: tuple[SectionMap, ...], view: "BoardView") -> None:
        """Shows every map there is."""
        self._maps = {section_map.id: section_map for section_map in (*maps, *view.fitting)}
        now = view.section_map.id if view.section_map is not None else ""
        self.head.set_text(_("Section map"), _("those that fit the concern first"))
        self.lines.replace(map_rows(maps, view.fitting, now))
        self.list.pick(0)
        self.without_button.setVisible(view.section_map is not None)

    def _take(self, row: int) -> None:
        if 0 <= row < len(self.lines.rows):
            self.chosen.emit(self._maps[self.lines.rows[row].key])
