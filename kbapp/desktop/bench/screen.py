"""The Bench: every case that wants something, one line each; earlier visits found by plate, VIN or phone."""

from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from kbapp.app.places import PRACTICE
from kbapp.app.views import CaseView, ChangeSet
from kbapp.desktop.bench.bench_list import BenchList
from kbapp.desktop.bench.columns import ColumnsHead
from kbapp.desktop.bench.next_steps import Case, NextSteps
from kbapp.desktop.bench.rows import BenchLine, bench_lines, case_line, visit_lines
from kbapp.desktop.bench.this_line import ThisLine
from kbapp.desktop.bench.visit_bar import VisitBar
from kbapp.desktop.context import Context
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.screens import Screen, has_screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _, ngettext
from kbapp.lookup.question import Narrowing, Question
from kbapp.wording.case_words import moment_words

if TYPE_CHECKING:
    from kbapp.app.bench import BenchView, Visit

SIDE_FROM: Final = 2.8
"""From how many least panes wide the picked case stands beside the list."""
MIDNIGHT_MS: Final = 60_000
AFTER_REPAIR: Final = ("retest", "follow_up")
"""Groups whose cases are repaired: what they wait for is done in Lead Check."""


def _today() -> date:
    return datetime.now().astimezone().date()


def _open_words(line: BenchLine | None) -> str:
    if line is not None and line.group in AFTER_REPAIR:
        return _("Open in Lead Check")
    return _("Open on the Split Board") if has_screen("split") else _("Read the case")


class BenchScreen(Screen):
    """The home screen."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("The Bench"), moment_words(_today().isoformat()))
        theme = context.theme
        self._view: BenchView | None = None
        self._visits: tuple[Visit, ...] | None = None
        self._day = _today()
        self._reading_list = Latest(context.tasks, self)
        self._reading_case = Latest(context.tasks, self)
        self._shown: CaseView | None = None
        self._sizes = [780, 330]
        self.steps = NextSteps(context.book, context.preferences, self)
        self.look_button = Button(theme, _("Look First"), "plain", "look")
        self.start_button = Button(theme, _("Start a concern"), "primary", "plus")
        self.head.add(self.look_button)
        self.head.add(self.start_button)
        self.visits = VisitBar(theme)
        self.columns = ColumnsHead(theme)
        self.list = BenchList(theme)
        self.list_notes = NotePlace(theme)
        self.side = ThisLine(theme, _open_words(None))
        self._clock = QTimer(self)
        self._clock.setInterval(MIDNIGHT_MS)
        self._clock.timeout.connect(self._look_at_the_day)
        self._lay_out()
        self._connect()
        self._start()

    def _lay_out(self) -> None:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.visits, self.columns, self.list_notes):
            column.addWidget(widget)
        column.addWidget(self.list, 1)
        left.setAccessibleName(_("Cases on the Bench"))
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(left)
        self.split.addWidget(self.side)
        self.split.setStretchFactor(0, 1)
        self.split.setSizes(self._sizes)
        self.split.splitterMoved.connect(self._note_sizes)
        self.body.addWidget(self.split, 1)

    def _connect(self) -> None:
        book = self.context.book
        self.look_button.clicked.connect(lambda: self.context.go("look", None))
        self.start_button.clicked.connect(self.start_concern)
        self.visits.wanted.connect(self._find)
        self.list.laid_out.connect(self.columns.show_columns)
        self.list.picked.connect(lambda _row: self._read())
        self.list.case_opened.connect(self._open)
        self.list.clicked.connect(self._pressed)
        self.side.open_wanted.connect(self._open_current)
        self.steps.found.connect(self._step_found)
        self.steps.failed.connect(self._failed)
        book.opened.connect(self._start)
        book.opening.connect(self._start)
        book.failed.connect(self._start)
        book.changed.connect(self._changed)

    # -- what is on the bench

    def _start(self) -> None:
        book = self.context.book
        if book.state == "open":
            self.refresh()
        elif book.state == "failed":
            self.list_notes.put(None)  # the window says why, above
        else:
            self._say("clock", _("Opening the book"), _("You may write already."))

    def refresh(self) -> None:
        """Reads the Bench anew."""
        day = self._day
        self._reading_list.ask(
            self.context.book.bound(lambda session, _control: session.bench().view(day)), self._show, self._failed
        )

    def _show(self, view: "BenchView") -> None:
        self._view = view
        if self._visits is not None:
            return
        self.list.show_lines(bench_lines(view, self.steps.known(self._open_cases())))
        if view.rows:
            self.list_notes.put(None)
        else:
            self._say_empty(view.cases)
        self.columns.show_for(lines=bool(view.rows), visits=False)
        self._work_out()
        self._arrange()
        if not view.rows:
            self.side.clear()

    def _open_cases(self) -> list[Case]:
        rows = self._view.rows if self._view is not None else ()
        return [(line.row.id, line.row.revision) for line in rows if line.group == "open"]

    def _work_out(self) -> None:
        if self.isVisible():
            self.steps.work_out(self._open_cases())

    def _step_found(self, case_id: str) -> None:
        step = self.steps.known(self._open_cases()).get(case_id)
        if step is None or self._view is None or self._visits is not None:
            return
        for row, line in enumerate(self.list.lines.rows):
            if line.case_id == case_id and line.group == "open":
                found = next(item for item in self._view.rows if item.row.id == case_id and item.group == "open")
                self.list.lines.put(row, case_line(found, step))
        if self._shown is not None and self._shown.case.id == case_id:
            self.side.show_step(step)

    def _say(self, icon: str, fact: str, hint: str, buttons: tuple[Button, ...] = ()) -> None:
        self.list_notes.put(Note(self.context.theme, icon, "plain", fact, hint, buttons))

    def _say_empty(self, cases: int) -> None:
        start = Button(self.context.theme, _("Start a concern"), "primary", "plus")
        start.clicked.connect(self.start_concern)
        buttons = [start]
        if self.context.book.location != PRACTICE and cases == 0:
            practice = Button(self.context.theme, _("Open the practice book"), "plain", "book")
            practice.clicked.connect(self._open_practice)
            buttons.append(practice)
        if cases == 0:
            fact, hint = (
                _("The bench is clear, and the book holds no case yet"),
                _("What the vehicle does, in the customer's words, is enough to begin."),
            )
        else:
            fact = _("The bench is clear")
            words = ngettext("{n} case, not open, waiting or due", "{n} cases, none open, waiting or due", cases)
            hint = words.format(n=f"{cases:,}")
        self._say("bench", fact, hint, tuple(buttons))

    def _open_practice(self) -> None:
        self.context.book.switch(PRACTICE, lambda: None, self._failed)

    def start_concern(self) -> None:
        """Begins with a new concern."""
        self.context.go("triage" if has_screen("triage") else "jot", None)

    def _failed(self, error: Exception) -> None:
        self.context.presenter.show(error, self.notes)

    def _changed(self, changes: ChangeSet) -> None:
        self.refresh()
        if self._visits is not None:
            self._find(self.visits.edit.text())
        if self._shown is not None and self._shown.case.id in changes.cases:
            self._read()

    def _look_at_the_day(self) -> None:
        if _today() != self._day:
            self._day = _today()
            self.head.set_remark(moment_words(self._day.isoformat()))
            if self.context.book.state == "open":
                self.refresh()

    # -- earlier visits

    def _find(self, text: str) -> None:
        if not text:
            self._visits = None
            self._reading_list.cancel()
            if self._view is not None:
                self._show(self._view)
            if self.context.book.state == "open":
                self.refresh()
            return
        if self.context.book.state != "open":
            return
        self._reading_list.ask(
            self.context.book.bound(lambda session, _control: session.bench().find(text)),
            self._show_visits,
            self._failed,
        )

    def _show_visits(self, visits: "tuple[Visit, ...]") -> None:
        self._visits = visits
        self.list.show_lines(visit_lines(visits))
        self.columns.show_for(lines=bool(visits), visits=True)
        self._arrange()
        if not visits:
            start = Button(self.context.theme, _("Start a concern"), "primary", "plus")
            start.clicked.connect(self.start_concern)
            hint = _("A plate or phone counts when it is whole; of a VIN the last six characters are enough.")
            self._say("look", _("No earlier visit with this plate, VIN or phone"), hint, (start,))
            self.side.clear()
            return
        said = ngettext("{n} earlier visit", "{n} earlier visits", len(visits)).format(n=len(visits))
        self._say("clock", said, _("latest first"))

    # -- one case

    def _read(self) -> None:
        line = self.list.current
        if line is None or line.kind != "case" or self.context.book.state != "open":
            self._shown = None
            self.side.clear()
            return
        wanted = line.case_id

        def done(view: CaseView) -> None:
            self._shown = view
            self.side.open_button.setText(_open_words(line))
            self.side.show_case(view, self.steps.known(self._open_cases()).get(wanted))

        work = self.context.book.bound(lambda session, _control: session.case(wanted))
        self._reading_case.ask(work, done, self._failed)

    def _pressed(self, index: object) -> None:
        line = self.list.current
        if line is not None and line.kind == "more":
            self._open(line)

    def _open_current(self) -> None:
        line = self.list.current
        if line is not None:
            self._open(line)

    def _open(self, line: BenchLine) -> None:
        if line.kind == "more" and line.group is not None:
            from kbapp.app.bench import GROUP_STATES

            self.context.go("look", Question(narrow=(Narrowing("state", GROUP_STATES[line.group]),)))
        elif line.kind == "case" and line.group in AFTER_REPAIR:
            self.context.go("lead", line.case_id)
        elif line.kind == "case" and has_screen("split"):
            self.context.go("split", line.case_id)
        elif line.kind == "case":
            self.context.go("look", line.number or line.case_id)

    # -- the frame's questions

    def arrive(self, value: object) -> None:
        """Takes ``find`` to find a visit at once."""
        if value == "find":
            self.visits.edit.selectAll()
        self._look_at_the_day()

    def first(self) -> QWidget:
        """Returns the line a scanner types into."""
        return self.visits.edit

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the line of visits, the list and the pane beside."""
        return (self.visits.edit, self.list, self.side.page)

    def leave(self) -> bool:
        """Goes back from earlier visits to the Bench."""
        if self.visits.edit.text():
            self.visits.clear()
            self.visits.edit.setFocus()
            return True
        return False

    def keep(self) -> dict[str, object]:
        """Returns the widths of the panes."""
        self._note_sizes()
        return {"panes": self._sizes}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes over the widths of the panes."""
        sizes = kept.get("panes")
        if isinstance(sizes, list) and len(sizes) == 2 and all(isinstance(size, int) for size in sizes):
            self._sizes = sizes
            self.split.setSizes(sizes)

    def _note_sizes(self) -> None:
        if self.isVisible() and self.side.isVisible():
            self._sizes = self.split.sizes()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leaves the pane beside out where both have no room."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        wide = self.width() >= SIDE_FROM * self.context.theme.look.metrics.pane
        self.side.setVisible(wide and bool(self.list.lines.rows))

    def showEvent(self, event: QShowEvent) -> None:
        """Goes on working out what is next."""
        super().showEvent(event)
        self.split.setSizes(self._sizes)
        self._clock.start()
        self._work_out()

    def hideEvent(self, event: QHideEvent) -> None:
        """Works nothing out while nobody looks."""
        super().hideEvent(event)
        self._clock.stop()
        self.steps.pause()
