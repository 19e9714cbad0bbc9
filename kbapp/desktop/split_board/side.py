"""The right column of the board: next test, gaps, what is still on the vehicle, similar cases, on one page."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.split_board.button_row import ButtonRow
from kbapp.desktop.split_board.next_tests import NextList
from kbapp.desktop.split_board.prepared import Prepared
from kbapp.desktop.split_board.small_lists import ShortList, kin_rows
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines
from kbapp.i18n import _, ngettext
from kbapp.lookup.question import Answer
from kbapp.wording.board import RANKED_BY


class SidePage(PageScroll):
    """``test_wanted(test)``, ``unable_wanted(test)``, ``off_wanted(entry)``, ``kin_wanted(case)``, ``gap_wanted``."""

    test_wanted = Signal(str)
    unable_wanted = Signal(str)
    off_wanted = Signal(str)
    kin_wanted = Signal(str)
    section_wanted = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, _("What to do next"))
        self.conflict = SectionHead(theme, "")
        self.next_head = SectionHead(theme, _("Next test"))
        self.next = NextList(theme)
        self.run_button = Button(theme, _("Run it"), "plain", "test")
        self.unable_button = Button(theme, _("Can’t run it"), "plain", "unable")
        self.all_button = Button(theme, _("All tests"), "quiet")
        self.next_row = ButtonRow(theme, (self.run_button, self.unable_button, self.all_button))
        self.gaps_head = SectionHead(theme, _("Gaps"))
        self.gaps = ShortList(theme, _("Gaps"))
        self.on_head = SectionHead(theme, _("Still on the vehicle"))
        self.on = ShortList(theme, _("Still on the vehicle"))
        self.off_button = Button(theme, _("It is off again"), "plain", "tick")
        self.on_row = ButtonRow(theme, (self.off_button,))
        self.kin_head = SectionHead(theme, _("Similar cases"))
        self.kin = ShortList(theme, _("Similar cases"))
        for widget in (
            self.conflict, self.on_head, self.on, self.on_row, self.next_head, self.next, self.next_row, self.gaps_head,
            self.gaps, self.kin_head, self.kin,
        ):  # fmt: skip
            self.add(widget)
        self.column.addStretch()
        self._every = False
        self._connect()
        self.clear()

    def _connect(self) -> None:
        self.next.wanted.connect(self.test_wanted)
        self.run_button.clicked.connect(lambda: self.test_wanted.emit(self.next.current))
        self.unable_button.clicked.connect(lambda: self.unable_wanted.emit(self.next.current))
        self.all_button.clicked.connect(self._toggle_all)
        self.off_button.clicked.connect(self._off)
        self.on.opened.connect(lambda row: self.off_wanted.emit(self.on.lines.rows[row].key))
        self.kin.opened.connect(lambda row: self.kin_wanted.emit(self.kin.lines.rows[row].key))
        self.kin.clicked.connect(lambda index: self.kin_wanted.emit(self.kin.lines.rows[index.row()].key))
        self.gaps.picked.connect(lambda row: self.section_wanted.emit(self.gaps.lines.rows[row].key))

    def _off(self) -> None:
        row = self.on.current or (self.on.lines.rows[0] if self.on.lines.rows else None)
        if row is not None:
            self.off_wanted.emit(row.key)

    def _toggle_all(self) -> None:
        self._every = not self._every
        self.next.show_all(every=self._every)
        self._name_all()

    def _name_all(self) -> None:
        n = self.next.hidden
        words = ngettext("{n} other test", "{n} other tests", n).format(n=n) if n else _("Fewer tests")
        self.all_button.setText(words)
        self.all_button.setVisible(bool(n) or self._every)

    def clear(self) -> None:
        """Shows nothing."""
        for widget in (
            self.conflict, self.next_head, self.next, self.next_row, self.gaps_head, self.gaps, self.on_head, self.on,
            self.on_row, self.kin_head, self.kin,
        ):  # fmt: skip
            widget.hide()

    def show_outlook(self, prepared: Prepared) -> None:
        """Shows what follows from the case."""
        advice, rows = prepared.outlook.advice, prepared.tests
        self.next.show_rows(rows)
        self._name_all()
        if advice is not None:
            ranked = _(RANKED_BY[advice.ranking.by])
            self.next_head.set_text(_("Next test"), ranked if rows else _("every test of this map was run"))
        self._show((self.next_head,), shown=advice is not None)
        self._show((self.next, self.next_row), shown=bool(rows))
        said = prepared.conflict
        self.conflict.set_text(_("Conflict"), said)
        self.conflict.setToolTip(said)
        self.conflict.setVisible(bool(said))
        gaps = prepared.gaps
        self.gaps_head.set_text(_("Gaps"), str(len(gaps)))
        self.gaps.show_rows(gaps)
        self._show((self.gaps_head, self.gaps), shown=bool(gaps))
        on = prepared.still_on
        self.on_head.set_text(_("Still on the vehicle"), str(len(on)))
        self.on.show_rows(on)
        self._show((self.on_head, self.on, self.on_row), shown=bool(on))

    def show_kin(self, answer: Answer) -> None:
        """Shows similar cases."""
        rows = kin_rows(answer.hits)
        self.kin_head.set_text(
            _("Similar cases"), _("by all this case knows; Enter reads one") if rows else _("none yet")
        )
        self.kin.show_rows(rows)
        self._show((self.kin_head,), shown=True)
        self._show((self.kin,), shown=bool(rows))

    @staticmethod
    def _show(widgets: tuple[QWidget, ...], *, shown: bool) -> None:
        for widget in widgets:
            widget.setVisible(shown)

    def first_list(self) -> Lines | None:
        """Returns the first list that is shown."""
        return next((one for one in (self.next, self.gaps, self.on, self.kin) if not one.isHidden()), None)
