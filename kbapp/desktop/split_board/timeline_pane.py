"""The timeline of the open case: numbered lines, the guard under the one it judges, what can be done with a line."""

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QAbstractItemView, QListView, QVBoxLayout, QWidget

from kbapp.desktop.paint.stamp import Stamp
from kbapp.desktop.reading.timeline import TimelineRow, timeline_rows
from kbapp.desktop.reading.timeline_list import TimelineDelegate
from kbapp.desktop.split_board.guard_card import GuardBar, GuardCard, GuardScroll
from kbapp.desktop.split_board.guard_rows import WEIGHT_ROLES, GuardWords
from kbapp.desktop.split_board.line_bar import LineBar
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.i18n import _, ngettext
from kbapp.isolation.guard_warning import Judgement
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import TestEntry, TimelineEntry
from kbapp.wording.map_names import MapNames

if TYPE_CHECKING:
    from kbapp.app.board import BoardView


def board_rows(case: Case, section_map: SectionMap | None, judged: Mapping[str, Judgement]) -> tuple[TimelineRow, ...]:
    """Returns the lines of a case in the words of its map, with the guard's mark where it speaks."""
    named = [_in_words(entry, section_map) for entry in case.timeline]
    rows = timeline_rows(case.model_copy(update={"timeline": tuple(named)}))
    return tuple(
        _marked(row, judged.get(case.timeline[n].id) if n < len(case.timeline) else None) for n, row in enumerate(rows)
    )


def _in_words(entry: TimelineEntry, section_map: SectionMap | None) -> TimelineEntry:
    test = section_map.test(entry.test) if section_map is not None and isinstance(entry, TestEntry) else None
    if test is None or not isinstance(entry, TestEntry) or section_map is None:
        return entry
    substitute = test.substitute(entry.substitute) if entry.substitute else None
    names = {condition.id: condition.name for condition in test.conditions}
    conditions = tuple(
        c if c.text else c.model_copy(update={"text": names.get(c.id, c.id)[:500]}) for c in entry.conditions
    )
    return entry.model_copy(
        update={
            "test": test.name,
            "outcome": MapNames(section_map).outcome(test.id, entry.outcome)[:500],
            "substitute": substitute.name if substitute is not None else entry.substitute,
            "conditions": conditions,
        }
    )


def _marked(row: TimelineRow, judgement: Judgement | None) -> TimelineRow:
    if judgement is None:
        return row
    role = WEIGHT_ROLES[judgement.warnings[0].weight]
    return replace(row, stamp=Stamp(_("Guard"), role, "single", "guard"))


class TimelinePane(QWidget):
    """List, guard and line bar. ``picked`` is sent with the id of the current line (empty: a retest)."""

    picked = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._ids: tuple[str, ...] = ()
        self._pinned = -1
        self.head = SectionHead(theme, _("Timeline"))
        self.lines = LinesModel[TimelineRow](TimelineRow.spoken, self)
        self.list = Lines(theme, _("Timeline"))
        self.list.setModel(self.lines)
        self.list.setItemDelegate(TimelineDelegate(theme, self.list))
        self.list.setResizeMode(QListView.ResizeMode.Adjust)
        self.list.setMinimumHeight(theme.look.metrics.row)
        self.list.picked.connect(self._picked)
        self.card = GuardCard(theme)
        self.bar = GuardBar(theme)
        self.line_bar = LineBar(theme)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.list, 1)
        self.card_scroll = GuardScroll(self.card)
        column.addWidget(self.card_scroll)
        column.addWidget(self.bar)
        column.addWidget(self.line_bar)

    @property
    def current(self) -> str:
        """The id of the current line, or an empty text."""
        row = self.list.currentIndex().row()
        return self._ids[row] if 0 <= row < len(self._ids) else ""

    def show_view(self, view: "BoardView", judged: Mapping[str, Judgement]) -> None:
        """Shows the lines of a case; the last one comes into sight when there are more than before."""
        case = view.case
        before, kept = len(self._ids), self.current
        self._ids = tuple(entry.id for entry in case.timeline)
        rows = board_rows(case, view.section_map, judged)
        self.head.set_text(_("Timeline"), ngettext("{n} line", "{n} lines", len(rows)).format(n=len(rows)))
        if rows == self.lines.rows:
            return
        self.list.blockSignals(True)
        self.lines.replace(rows)
        self.list.blockSignals(False)
        if len(self._ids) > before and rows:
            self.list.pick(len(self._ids) - 1 if self._ids else 0)
            self._settle(len(rows) - 1)
        elif kept in self._ids:
            self.list.pick(self._ids.index(kept))
        self._picked(self.list.currentIndex().row())

    def _settle(self, row: int) -> None:
        self.list.scrollTo(self.lines.index(row, 0), QAbstractItemView.ScrollHint.PositionAtBottom)

    def _picked(self, row: int) -> None:
        self.picked.emit(self._ids[row] if 0 <= row < len(self._ids) else "")

    def show_guard(self, words: GuardWords | None, author: str, *, as_bar: bool) -> None:
        """Shows the guard as a card under its line, or as a bar."""
        self.card.show_words(None if as_bar else words, author)
        self.bar.show_words(words if as_bar else None)
        self._pinned = words.line - 1 if words is not None else -1
        if words is not None:
            # the list takes its new height first, then the judged line comes to stand right above the card
            QTimer.singleShot(0, self, self._pin)

    def _pin(self) -> None:
        if 0 <= self._pinned < self.lines.rowCount() and not self.list.hasFocus():
            self._settle(self._pinned)
