"""Which cases go into a pack: the filter above, a list to tick below."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.crate.row_list import RowList
from kbapp.desktop.crate.rows import case_rows
from kbapp.desktop.forms.field_grid import FieldGrid
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.paper import Paper
from kbapp.i18n import _
from kbapp.wording.crate import chosen_words
from kbapp.wording.terms import terms

if TYPE_CHECKING:
    from kbapp.app.crate import Selection
    from kbapp.app.session import Session
    from kbapp.app.views import CaseFilter, CaseRow

_ROWS_FOR_BOTH = 10.5
"""How many targets high a window has to be for filter and list together."""
LISTED = 1000
"""How many cases are listed at most; with all of them ticked the others go, too."""


class Choosing(QWidget):
    """``changed`` is sent when other cases or another title are chosen."""

    changed = Signal()

    def __init__(self, context: Context, notes: NotePlace) -> None:
        super().__init__()
        theme = context.theme
        self._context, self._notes = context, notes
        self._reading = Latest(context.tasks, self)
        self._rows: tuple[CaseRow, ...] = ()
        self._more = False
        self._all = True
        self._marked: set[str] = set()
        everything = ("", _("Any"))
        self.state = PickOne(theme, _("State"), (everything, *terms("state")))
        self.system = PickOne(theme, _("System"), (everything, *terms("system")))
        self.family = PickOne(theme, _("Family"), (everything,))
        self.title = ValueEdit(theme, _("Title of the pack"))
        self.title.setMaxLength(200)
        self.head = SectionHead(theme, _("Cases"))
        self.all_button = Button(theme, _("Tick all"), "plain")
        self.none_button = Button(theme, _("Tick none"), "plain")
        self.filter_button = Button(theme, _("Filter and title"), "plain", "narrow")
        self.filter_button.setCheckable(True)
        self.empty = NotePlace(theme)
        self.list = RowList(theme, _("Cases for the pack"))
        self._lay_out()
        for pick in (self.state, self.system, self.family):
            pick.done.connect(lambda _value: self.read())
            pick.go_on.connect(self.list.setFocus)
        self.title.textEdited.connect(lambda _text: self.changed.emit())
        self.title.returnPressed.connect(self.list.setFocus)
        self.all_button.clicked.connect(lambda: self._tick_all(on=True))
        self.none_button.clicked.connect(lambda: self._tick_all(on=False))
        self.list.toggled.connect(self._toggle)
        self.filter_button.toggled.connect(lambda _on: self._rearrange())

    def _lay_out(self) -> None:
        theme = self._context.theme
        self.filters = paper = Paper(theme)
        inner = QVBoxLayout(paper)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.addWidget(
            FieldGrid(
                theme,
                [
                    Labelled(theme, _("State"), self.state), Labelled(theme, _("System"), self.system),
                    Labelled(theme, _("Family"), self.family),
                    Labelled(theme, _("Title, which the other shop sees"), self.title),
                ],
                most=4,
            )
        )  # fmt: skip
        bar = Paper(theme)
        row = QHBoxLayout(bar)
        row.setContentsMargins(0, 0, 8, 0)
        row.setSpacing(8)
        row.addWidget(self.head, 1)
        row.addWidget(self.filter_button)
        row.addWidget(self.all_button)
        row.addWidget(self.none_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (paper, bar, self.empty):
            column.addWidget(widget)
        column.addWidget(self.list, 1)
        self.filter_button.hide()
        theme.changed.connect(self._rearrange)

    def _rearrange(self) -> None:
        """Shows filter or list, one at a time, where the window has no room for both."""
        tight = self.window().height() < _ROWS_FOR_BOTH * self._context.theme.look.metrics.row
        self.filter_button.setVisible(tight)
        self.filters.setVisible(not tight or self.filter_button.isChecked())
        self.list.setVisible(not tight or not self.filter_button.isChecked())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Looks at the room there is."""
        super().resizeEvent(event)
        self._rearrange()

    # -- reading the cases

    def _filter(self) -> "CaseFilter":
        from kbapp.app.views import CaseFilter

        state, system = self.state.value(), self.system.value()
        return CaseFilter(
            states=(state,) if state else (),  # type: ignore[arg-type]
            systems=(system,) if system else (), family=self.family.value(),
        )  # fmt: skip

    def read(self) -> None:
        """Reads the cases of the filter; all of them are ticked again."""
        wanted = self._filter()

        def work(session: "Session", _control: object) -> "tuple[tuple[CaseRow, ...], tuple[str, ...]]":
            return session.list_cases(wanted, LISTED + 1), session.vehicle_names().offered("family", {})

        self._reading.ask(self._context.book.bound(work), self._show, self._failed)

    def _failed(self, error: Exception) -> None:
        self._context.presenter.show(error, self._notes, self.read)

    def _show(self, found: "tuple[tuple[CaseRow, ...], tuple[str, ...]]") -> None:
        rows, families = found
        self._more, self._rows = len(rows) > LISTED, rows[:LISTED]
        chosen = self.family.value()
        if [self.family.itemData(n) for n in range(1, self.family.count())] != list(families):
            self.family.clear()
            for family in ("", *families):
                self.family.addItem(family or _("Any"), family)
            self.family.put(chosen)
        self._all, self._marked = True, set()
        self._show_rows()
        self.changed.emit()

    def _goes(self, case_id: str) -> bool:
        return (case_id in self._marked) != self._all

    def _show_rows(self) -> None:
        self.list.show_rows(case_rows(self._rows, self._goes))
        self.head.set_text(_("Cases"), chosen_words(self.ticked, len(self._rows), more=self._more))
        self.empty.put(None if self._rows else self._nothing())

    def _nothing(self) -> Note:
        hint = _("Choose another state, system or family. A book without cases has nothing to send yet.")
        return Note(self._context.theme, "info", "plain", _("No case is like that"), hint)

    # -- ticking

    @property
    def ticked(self) -> int:
        """How many of the listed cases go."""
        return sum(self._goes(row.id) for row in self._rows)

    def _toggle(self, place: int) -> None:
        self._marked ^= {self._rows[place].id}
        self._show_rows()
        self.changed.emit()

    def _tick_all(self, *, on: bool) -> None:
        self._all, self._marked = on, set()
        self._show_rows()
        self.changed.emit()

    def selection(self) -> "Selection":
        """Returns what is chosen, for review and pack alike."""
        from kbapp.app.crate import Selection

        if self._all:
            return Selection(self._filter(), without=frozenset(self._marked))
        return Selection(ids=tuple(sorted(self._marked)))
