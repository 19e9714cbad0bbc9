"""Look First: ask, narrow, read. Answers come while one types; everything known about the job may be a condition."""

from collections.abc import Iterable
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSplitter, QStackedWidget, QVBoxLayout, QWidget

from kbapp.app.views import CaseView, ChangeSet, IndexState
from kbapp.desktop.context import Context
from kbapp.desktop.keys import action
from kbapp.desktop.look_first.conditions import Conditions
from kbapp.desktop.look_first.guide import Guide
from kbapp.desktop.look_first.narrow_column import NarrowColumn
from kbapp.desktop.look_first.question_bar import QuestionBar
from kbapp.desktop.look_first.recent import recent_hits
from kbapp.desktop.look_first.results import one_line
from kbapp.desktop.look_first.results_pane import ResultsPane
from kbapp.desktop.look_first.side_panel import SidePanel
from kbapp.desktop.reading.content import Content, content_of
from kbapp.desktop.reading.pane import ReadingPane
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.theme.tokens import NARROW_BELOW
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _, ngettext
from kbapp.lookup.question import FACETS, Answer, Hit, Question

PAGE: Final = 20
SIZES: Final = (204, 462, 442)
_SUGGESTING: Final = {"make": "make", "family": "family", "generation": "generation", "engine": "engine",
                      "code": "code", "symptom": "symptom"}  # fmt: skip


class LookFirst(Screen):
    """The search screen."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Look First"))
        theme = context.theme
        self._limit = PAGE
        self._base: Question | None = None
        self._asking = Latest(context.tasks, self)
        self._reading = Latest(context.tasks, self)
        self._wanted_case = ""
        self._kept_case: str | None = None
        self._sizes = list(SIZES)
        self.narrow_button = Button(theme, _("Narrow by"), "plain", "narrow")
        jot_button = Button(theme, _("Jot a case down"), "plain", "jot")
        jot_button.clicked.connect(lambda: context.go("jot", None))
        self.head.add(self.narrow_button)
        self.head.add(jot_button)
        self.question = QuestionBar(theme)
        self.narrow = NarrowColumn(theme)
        self.results = ResultsPane(theme)
        self.reading = ReadingPane(theme)
        self.guide = Guide(theme)
        self._lay_out()
        self._connect()
        self._add_keys()
        theme.changed.connect(self._rearrange)
        self._start()

    def _lay_out(self) -> None:
        theme = self.context.theme
        self.right = QStackedWidget()
        self.right.addWidget(self.guide)
        self.right.addWidget(self.reading)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        for pane in (self.narrow, self.results, self.right):
            self.split.addWidget(pane)
        self.split.setSizes(self._sizes)
        self.split.splitterMoved.connect(self._note_sizes)
        self.split.setStretchFactor(0, 0)
        self.split.setStretchFactor(1, 1)
        self.split.setStretchFactor(2, 1)
        lower = QWidget()
        column = QVBoxLayout(lower)
        column.setContentsMargins(0, 6, 0, 0)
        column.addWidget(self.split)
        self.panel = SidePanel(theme, lower)
        self.panel.left.connect(self.narrow_button.setFocus)
        self.body.addWidget(self.question)
        self.body.addWidget(lower, 1)

    def _connect(self) -> None:
        book = self.context.book
        self.question.asked.connect(self._ask_anew)
        self.narrow_button.clicked.connect(self._show_narrow)
        self.narrow.ticked.connect(self._tick)
        self.narrow.cleared.connect(lambda: self._narrow_to(self.question.conditions.wide()))
        self.results.picked.connect(self._read)
        self.results.meant.connect(lambda text: self.question.put(text, self.question.conditions))
        self.results.loosened.connect(self._loosen)
        self.results.more_wanted.connect(self._more)
        self.results.list.opened.connect(lambda _row: self._open_reading())
        self.reading.back_wanted.connect(self._back_to_results)
        self.reading.compare_wanted.connect(self._compare)
        self.reading.edit_wanted.connect(lambda case_id: self.context.go("case", case_id))
        self.reading.open_wanted.connect(lambda case_id: self.context.go("split", case_id))
        self.guide.asked.connect(lambda text: self.question.put(text, Conditions()))
        book.opened.connect(self._start)
        book.failed.connect(self._start)
        book.opening.connect(self._start)
        book.changed.connect(self._changed)
        book.index_moved.connect(self._index_moved)

    def _add_keys(self) -> None:
        for name, handler in (
            ("question", self._to_question), ("clear-question", self.clear),
            ("add-condition", self.question.open_panel),
            ("narrow", self._show_narrow), ("next-case", lambda: self.results.step(1)),
            ("previous-case", lambda: self.results.step(-1)), ("copy-case", self.reading.copy),
            ("paste-report", self.question.open_report), ("compare", self.reading.compare),
        ):  # fmt: skip
            action(name, self, handler)

    # -- asking

    def _start(self) -> None:
        if self.context.book.state == "open":
            self.ask(typing=False)
        elif self.context.book.state == "failed":
            self.results.notes.put(None)  # the window says why, above
        else:
            fact = _("Opening the book")
            self.results.show_note(Note(self.context.theme, "clock", "plain", fact, _("You may write already.")))

    def _ask_anew(self, typing: bool) -> None:  # noqa: FBT001 - the signal's argument
        self._limit = PAGE
        self.ask(typing=typing)

    def ask(self, *, typing: bool) -> None:
        """Asks the question as it stands; an older answer still under way is dropped."""
        if self.context.book.state != "open":
            return
        question = self.question.conditions.question(self.question.text(), typing=typing, limit=self._limit)
        if question.empty:
            self._asking.ask(self.context.book.bound(recent_hits), self._show_recent, self._failed)
            return
        self._asking.ask(
            self.context.book.bound(lambda session, control: session.look(question, control.stopped)),
            self._show_answer,
            self._failed,
        )

    def _failed(self, error: Exception) -> None:
        self.context.presenter.show(error, self.notes)

    def _answered(self) -> None:
        # an answer takes the note of an error away, not the case that waits to be compared
        if self._kept_case is None:
            self.notes.put(None)

    def _show_recent(self, found: tuple[tuple[Hit, ...], Answer | None]) -> None:
        hits, overview = found
        self._answered()
        self._base = None
        self.right.setCurrentWidget(self.guide)
        if hits:
            self.results.show_recent(hits, self.context.book.cases)
        else:
            jot = Button(self.context.theme, _("Jot the first case down"), "primary", "jot")
            jot.clicked.connect(lambda: self.context.go("jot", None))
            fact = _("This book holds no case yet")
            hint = _("Five lines are enough, and it is found here at once.")
            self.results.show_note(Note(self.context.theme, "jot", "plain", fact, hint, [jot]))
        if overview is not None:
            self.narrow.show_counts(overview.facets, self.question.conditions, fresh=True)
            self._suggest(overview)
        self._show_index(by_text=overview is None or overview.by_text_only)
        self._name_narrow_button()

    def _show_answer(self, answer: Answer) -> None:
        self._answered()
        base = _unnarrowed(answer.question)
        fresh, self._base = base != self._base, base
        self.narrow.show_counts(answer.facets, self.question.conditions, fresh=fresh)
        self._suggest(answer)
        self.results.show_answer(answer)
        self._show_index(by_text=answer.by_text_only)
        self._name_narrow_button()

    def _suggest(self, answer: Answer) -> None:
        found: dict[str, Iterable[str]] = {
            kind: [item.value for item in answer.facets.get(field, ())] for kind, field in _SUGGESTING.items()
        }
        self.question.panel.suggest(found)

    # -- reading

    def _read(self, hit: Hit | None) -> None:
        if hit is None:
            self._wanted_case = ""
            self._reading.cancel()
            self.reading.clear()
            self.right.setCurrentWidget(self.guide)
            return
        self._wanted_case = hit.id

        def done(content: Content) -> None:
            if self._wanted_case == content.view.case.id:
                self.reading.show_case(content, hit)
                self.right.setCurrentWidget(self.guide if self._guiding else self.reading)

        work = self.context.book.bound(lambda session, _control: content_of(session.case(hit.id)))
        self._reading.ask(work, done, self._failed)

    @property
    def _guiding(self) -> bool:
        # while nothing is asked the guide stays until someone walks into the list
        return self._base is None and not self.results.list.hasFocus()

    def _open_reading(self) -> None:
        self.right.setCurrentWidget(self.reading)
        self._single("reading")
        self.reading.first().setFocus()

    def _back_to_results(self) -> None:
        self._single("results")
        self.results.list.setFocus()

    def _compare(self, view: CaseView) -> None:
        """Keeps a case to lay beside another, or lays the kept one beside this."""
        case, kept = view.case, self._kept_case
        if kept is not None and kept != case.id:
            self._forget_kept()
            self.context.go("compare", (kept, case.id))
            return
        self._kept_case = case.id
        drop = Button(self.context.theme, _("Compare nothing"), "quiet", "x")
        drop.clicked.connect(self._forget_kept)
        fact = _("{case} waits to be laid beside another").format(case=case.number or one_line(case.concern.text)[:60])
        hint = _("Pick the other case and press Compare again.")
        self.notes.put(Note(self.context.theme, "compare", "info", fact, hint, [drop]))

    def _forget_kept(self) -> None:
        self._kept_case = None
        self.notes.put(None)

    # -- narrowing

    def _tick(self, field: str, value: str, on: bool) -> None:  # noqa: FBT001 - the signal's argument
        self._narrow_to(self.question.conditions.narrowed(field, value, on=on))

    def _narrow_to(self, conditions: Conditions) -> None:
        self._limit = PAGE
        self.question.conditions = conditions
        self.ask(typing=False)

    def _loosen(self, item: str) -> None:
        conditions = self.question.conditions
        if item in FACETS:
            kept = tuple(narrowing for narrowing in conditions.narrow if narrowing.field != item)
            self._narrow_to(Conditions(conditions.items, kept))
            return
        words = [word for word in self.question.text().split() if word.casefold() != item.casefold()]
        kept_items = tuple(c for c in conditions.items if item not in (c.value, c.outcome))
        self.question.put(" ".join(words), Conditions(kept_items, conditions.narrow))

    def _more(self) -> None:
        self._limit += PAGE * 2
        self.ask(typing=False)

    def _show_narrow(self) -> None:
        if self._columns() == 3:
            self.narrow.enter()
        elif self.panel.isVisible():
            self.panel.leave()
        else:
            self.panel.open()
            self.panel.done_button.setFocus()

    def _name_narrow_button(self) -> None:
        n = sum(len(item.values) for item in self.question.conditions.narrow)
        words = ngettext("Narrow by, {n} set", "Narrow by, {n} set", n).format(n=n) if n else _("Narrow by")
        self.narrow_button.setText(words)

    # -- changes of the book and the index

    def _changed(self, changes: ChangeSet) -> None:
        self.ask(typing=False)
        if self._wanted_case in changes.cases and self.results.current is not None:
            self._read(self.results.current)

    def _index_moved(self, state: IndexState) -> None:
        if state.ready and self.results.index_note.note is not None:
            self.ask(typing=False)
        else:
            self._show_index(by_text=not state.ready)

    def _show_index(self, *, by_text: bool) -> None:
        self.results.show_index(self.context.book.index, by_text=by_text)

    # -- the frame's questions

    def arrive(self, value: object) -> None:
        """Takes a question, a text to ask, or nothing."""
        if isinstance(value, Question):
            self.question.put(value.text, Conditions.of(value))
        elif isinstance(value, str) and value:
            self.question.put(value, Conditions())

    def clear(self) -> None:
        """Empties question and conditions."""
        self.question.put("", Conditions())
        self._to_question()

    def _to_question(self) -> None:
        self._single("results")
        self.question.edit.setFocus()
        self.question.edit.selectAll()

    def first(self) -> QWidget:
        """Returns the question line."""
        return self.question.edit

    def panes(self) -> tuple[QWidget, ...]:
        """Returns question, list and reading pane."""
        right = self.guide.list if self.right.currentWidget() is self.guide else self.reading.first()
        return (self.question.edit, self.results.list, right)

    def leave(self) -> bool:
        """Closes the condition panel or Narrow by."""
        if self.panel.isVisible():
            self.panel.leave()
            return True
        if self.question.panel.isVisible():
            self.question.close_panel()
            return True
        if self.question.report.isVisible():
            self.question.close_report()
            return True
        return False

    def keep(self) -> dict[str, object]:
        """Returns the widths of the panes."""
        self._note_sizes()
        return {"panes": self._sizes}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes over the widths of the panes."""
        sizes = kept.get("panes")
        if isinstance(sizes, list) and len(sizes) == 3 and all(isinstance(size, int) for size in sizes):
            self._sizes = sizes
            self.split.setSizes(sizes)

    # -- room

    def _note_sizes(self) -> None:
        if self.isVisible() and self.split.count() == 3:
            self._sizes = self.split.sizes()

    def _columns(self) -> int:
        theme = self.context.theme
        if theme.size == "desk" and self.window().width() >= NARROW_BELOW:
            return 3
        return 2 if self.width() >= 2 * theme.look.metrics.pane + 8 else 1

    def _rearrange(self) -> None:
        columns = self._columns()
        wide = columns == 3
        if wide and self.split.indexOf(self.narrow) < 0:
            self.panel.hide()
            self.split.insertWidget(0, self.narrow)
            self.narrow.show()
            self.split.setSizes(self._sizes)
        elif not wide and self.split.indexOf(self.narrow) >= 0:
            self.panel.hold(self.narrow)
        self.narrow_button.setVisible(not wide)
        self.reading.set_alone(alone=columns == 1)
        self._single("results" if columns == 1 and not self.reading.hasFocus() else "both")

    def _single(self, which: str) -> None:
        alone = self._columns() == 1
        self.results.setVisible(not alone or which != "reading")
        self.right.setVisible(not alone or which == "reading")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Chooses how many panes stand side by side."""
        super().resizeEvent(event)
        self._rearrange()

    def showEvent(self, event: QShowEvent) -> None:
        """Gives the panes the widths they had."""
        super().showEvent(event)
        self._rearrange()
        if self.split.count() == 3:
            self.split.setSizes(self._sizes)

    def hideEvent(self, event: QHideEvent) -> None:
        """Notes the widths of the panes."""
        if self.split.count() == 3 and not event.spontaneous():
            self._sizes = self.split.sizes()
        super().hideEvent(event)


def _unnarrowed(question: Question) -> Question:
    return Conditions.of(question).wide().question(question.text, typing=False, limit=PAGE)
