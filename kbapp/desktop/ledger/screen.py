"""The Swap Ledger: questions left, figures with chart and table right; cases to retrace and to learn from."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QStackedWidget, QVBoxLayout, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.ledger import reading
from kbapp.desktop.ledger.case_list import CaseList
from kbapp.desktop.ledger.filter_page import FilterPage
from kbapp.desktop.ledger.lesson_page import LessonPage
from kbapp.desktop.ledger.questions import CALIBRATION, LEARNED, LESSON, RETRACE, question_lines
from kbapp.desktop.ledger.reading import Answer, Page
from kbapp.desktop.ledger.sheet_page import SheetPage
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.chip import Chip
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.paper import Paper
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine
from kbapp.i18n import _
from kbapp.ledger.question import LedgerQuestion
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.views import ChangeSet
    from kbapp.isolation.lesson import Lesson

_OVER_THE_BOOK = (CALIBRATION, LEARNED)


class LedgerScreen(Screen):
    """The figures of the book."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Swap Ledger"), _("Proved, independent cases only; each vehicle once"))
        theme = context.theme
        self.question = LedgerQuestion(outside=context.preferences.now.ledger_outside)
        self.answer: Answer | None = None
        self._asking, self._one = Latest(context.tasks, self), Latest(context.tasks, self)
        self._stale = True
        self.narrow_button = Button(theme, _("Narrow by"), "plain", "narrow")
        self.back_button = Button(theme, _("All questions"), "plain", "left")
        self.head.add(self.back_button)
        self.head.add(self.narrow_button)
        self.lines = LinesModel[TitleLine](lambda row: f"{row.title}. {row.remark}", self)
        self.lines.replace(question_lines())
        self.list = Lines(theme, _("Questions"), margin=False, whole=True)
        self.list.setModel(self.lines)
        self.list.setItemDelegate(TitleDelegate(theme, self.list))
        self.chips: list[Chip] = []
        self.page = SheetPage(theme)
        self.filters = FilterPage(theme)
        self.retraced = CaseList(
            theme, _("Retrace a case"), _("closed cases worked with a map"),
            (
                _("No closed case was worked with a map yet"),
                _("Choose a map when you work on a case: then it can be retraced."),
            ),
        )  # fmt: skip
        self.taught = CaseList(
            theme, _("Hide the answer"), _("proved cases, played from the triage on"),
            (_("No case is proved yet"), _("The practice book has some: kbapp demo opens it.")),
        )  # fmt: skip
        self.lesson = LessonPage(theme)
        self._lay_out()
        self._connect()
        theme.changed.connect(self._rearrange)
        self.list.pick(0)

    def _lay_out(self) -> None:
        from kbapp.desktop.widgets.flow_row import FlowRow

        self.chip_row = Paper(self.context.theme)
        self.chip_flow = FlowRow(6, self.chip_row)
        self.chip_flow.setContentsMargins(8, 4, 8, 4)
        self.right = QStackedWidget()
        for page in (self.page, self.filters, self.retraced, self.taught, self.lesson):
            self.right.addWidget(page)
        self.pane = QWidget()
        column = QVBoxLayout(self.pane)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.chip_row)
        column.addWidget(self.right, 1)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(self.list)
        self.split.addWidget(self.pane)
        self.split.setStretchFactor(1, 1)
        self.body.addWidget(self.split, 1)
        self._show_chips()

    def _connect(self) -> None:
        book = self.context.book
        self.list.picked.connect(lambda _row: self._show_question())
        self.list.opened.connect(lambda _row: self._enter())
        self.list.clicked.connect(lambda _index: self._enter() if self._alone else None)
        self.narrow_button.clicked.connect(self._show_filters)
        self.back_button.clicked.connect(self._to_list)
        self.filters.asked.connect(self._ask)
        self.filters.closed.connect(self._enter)
        self.filters.learned.connect(lambda on: self.context.preferences.change(learned=on))
        self.context.preferences.changed.connect(lambda _settings: self._refresh())
        self.page.failed.connect(self._failed)
        self.page.written.connect(self._say_written)
        self.page.opened.connect(self._open_row)
        self.retraced.chosen.connect(self._retrace)
        self.taught.chosen.connect(self._teach)
        self.lesson.compared.connect(self._compare)
        self.lesson.left.connect(self._show_question)
        book.opened.connect(self._refresh)
        book.changed.connect(self._changed)

    # -- asking

    @property
    def key(self) -> str:
        """The question the list stands on."""
        row = self.list.currentIndex().row()
        return self.lines.rows[row].key if row >= 0 else ""

    def arrive(self, value: object) -> None:
        """Asks when the screen is shown; a question's name or a case to retrace may be handed over."""
        keys = [line.key for line in self.lines.rows]
        if isinstance(value, str) and value in keys:
            self.list.pick(keys.index(value))
        if self._stale:
            self._refresh()

    def _changed(self, _changes: "ChangeSet") -> None:
        self._stale = True
        if self.isVisible() and self.right.currentWidget() is not self.lesson:
            self._refresh()

    def _refresh(self) -> None:
        if self.context.book.state != "open" or not self.isVisible():
            self._stale = True
            return
        self._stale = False
        settings = self.context.preferences.now
        if settings.ledger_outside != self.question.outside:
            self.question = LedgerQuestion(
                **{**{f: getattr(self.question, f) for f in _FIELDS}, "outside": settings.ledger_outside}
            )
        self.head.set_remark(_("Counting…"))
        work = self.context.book.bound(reading.ask_ledger(self.question, settings))
        self._asking.ask(work, self._answered, self._failed)

    def _answered(self, answer: Answer) -> None:
        self.answer = answer
        self.head.set_remark(answer.basis)
        self.filters.show_question(self.question, learned=self.context.preferences.now.learned)
        self.filters.offer(answer.choices, answer.found.today)
        self._show_chips()
        if self.right.currentWidget() is not self.filters:
            self._show_question()

    def _ask(self, question: LedgerQuestion) -> None:
        self.question = question
        self.filters.show_question(question, learned=self.context.preferences.now.learned)
        if question.outside != self.context.preferences.now.ledger_outside:
            self.context.preferences.change(ledger_outside=question.outside)  # asks again by itself
        else:
            self._refresh()

    # -- showing

    def _show_question(self) -> None:
        key = self.key
        if key in (RETRACE, LESSON):
            shown = self.retraced if key == RETRACE else self.taught
            self.right.setCurrentWidget(shown)
            if self.context.book.state == "open":
                work = self.context.book.bound(reading.ask_cases(with_map=key == RETRACE))
                self._one.ask(work, shown.show_cases, self._failed)
            return
        self.right.setCurrentWidget(self.page)
        if key in _OVER_THE_BOOK and self.context.book.state == "open":
            ask = (
                reading.ask_calibration(self.question)
                if key == CALIBRATION
                else reading.ask_learned(self.context.preferences.now)
            )
            self._one.ask(self.context.book.bound(ask), self._show_page, self._failed)
        elif self.answer is not None and key in self.answer.pages:
            self._one.cancel()
            self._show_page(self.answer.pages[key])

    def _show_page(self, page: Page) -> None:
        self.page.show_sheet(page.sheet, page.chart, page.basis)

    def _show_chips(self) -> None:
        for chip in self.chips:
            self.chip_flow.takeAt(0)
            chip.hide()
            chip.deleteLater()
        self.chips = []
        for label, value, change in self._narrowed():
            chip = Chip(self.context.theme, label, value)
            chip.clicked.connect(lambda _on=False, c=change: self._drop(c))
            self.chips.append(chip)
            self.chip_flow.addWidget(chip)
            chip.show()
        self.chip_row.setVisible(bool(self.chips))
        self.chip_row.updateGeometry()

    def _narrowed(self) -> list[tuple[str, str, tuple[str, ...]]]:
        asked = self.question
        sources = {"own": _("by this shop"), "reported": _("by others")}
        family = " ".join(filter(None, (asked.make, asked.family)))
        found = (
            (_("System"), term("system", asked.system) if asked.system else "", ("system",)),
            (_("Concern"), asked.symptom, ("symptom",)),
            (_("Vehicle"), family, ("make", "family")),
            (_("Opened from"), asked.since, ("since",)),
            (_("Opened until"), asked.until, ("until",)),
            (_("Parts"), sources.get(asked.source, ""), ("source",)),
        )
        return [(label, value, fields) for label, value, fields in found if value]

    def _drop(self, fields: tuple[str, ...]) -> None:
        kept = {name: getattr(self.question, name) for name in _FIELDS}
        self._ask(LedgerQuestion(**{**kept, **dict.fromkeys(fields, "")}))

    def _show_filters(self) -> None:
        self.filters.show_question(self.question, learned=self.context.preferences.now.learned)
        if self.answer is None:
            from kbapp.app.ledger import Choices

            self.filters.offer(Choices((), (), ()), datetime.now().astimezone().date().isoformat())
        self.right.setCurrentWidget(self.filters)
        self._single(list_shown=False)
        self.filters.system.setFocus()

    # -- cases

    def _retrace(self, case_id: str) -> None:
        settings = self.context.preferences.now

        def done(page: Page) -> None:
            self.right.setCurrentWidget(self.page)
            self._show_page(page)
            self._single(list_shown=False)
            self.page.table.setFocus()

        self._one.ask(self.context.book.bound(reading.ask_retrace(case_id, settings)), done, self._failed)

    def _teach(self, case_id: str) -> None:
        settings = self.context.preferences.now

        def done(lesson: "Lesson") -> None:
            self.right.setCurrentWidget(self.lesson)
            self._single(list_shown=False)
            self.lesson.play(lesson, settings.currency)

        self._one.ask(self.context.book.bound(reading.ask_lesson(case_id, settings)), done, self._failed)

    def _compare(self, lesson: "Lesson") -> None:
        def done(page: Page) -> None:
            self.right.setCurrentWidget(self.page)
            self._show_page(page)
            fact = _("You found it.") if lesson.solved else _("The answer")
            words = lesson.case.cause.text if lesson.case.cause is not None else ""
            again = Button(self.context.theme, _("Another case"), "plain", "left")
            again.clicked.connect(self._show_question)
            read = Button(self.context.theme, _("Read the case"), "plain", "look")
            read.clicked.connect(lambda: self.context.go("look", lesson.case.number or lesson.case.id))
            self.page.say(
                Note(self.context.theme, "seal", "good" if lesson.solved else "info", fact, words, [again, read])
            )
            again.setFocus()

        self._one.ask(reading.compare_lesson(lesson, self.context.preferences.now), done, self._failed)

    def _open_row(self, row: int) -> None:
        sheet = self.page.sheet
        if sheet is not None and sheet.key == "comebacks":
            self.context.go("look", sheet.rows[row][0].text)

    # -- the frame's questions

    def _failed(self, error: Exception) -> None:
        self.context.presenter.show(error, self.notes)

    def _say_written(self, path: Path) -> None:
        close = Button(self.context.theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: self.notes.put(None))
        fact = _("Written: {name}").format(name=path.name)
        self.notes.put(Note(self.context.theme, "tick", "good", fact, str(path.parent), [close]))

    def first(self) -> QWidget:
        """Returns the list of questions."""
        return self.list

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the list and what stands beside it."""
        beside = {
            self.page: self.page.table, self.filters: self.filters.system, self.retraced: self.retraced.list,
            self.taught: self.taught.list, self.lesson: self.lesson.choices,
        }  # fmt: skip
        return (self.list, beside[self.right.currentWidget()])  # type: ignore[index]

    def leave(self) -> bool:
        """Leaves the filters, a lesson or a single page."""
        if self.right.currentWidget() in (self.filters, self.lesson):
            self._show_question()
            self.list.setFocus()
            return True
        if self._alone and self.list.isHidden():
            self._to_list()
            return True
        return False

    def keep(self) -> dict[str, object]:
        """Returns the question the list stands on."""
        return {"question": self.key}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes over the question."""
        keys = [line.key for line in self.lines.rows]
        if kept.get("question") in keys:
            self.list.pick(keys.index(str(kept["question"])))

    # -- room

    @property
    def _list_width(self) -> int:
        return round(self.context.theme.look.metrics.pane * 0.62)

    @property
    def _alone(self) -> bool:
        return self.width() < self._list_width + round(self.context.theme.look.metrics.pane * 1.25)

    def _rearrange(self) -> None:
        if self._alone:
            self._single(list_shown=not self.list.isHidden())
        else:
            self.list.show()
            self.pane.show()
            self.list.setFixedWidth(self._list_width)
            self.split.setSizes([self._list_width, self.width() - self._list_width - self.split.handleWidth()])
        self.back_button.setVisible(self._alone and self.list.isHidden())

    def _single(self, *, list_shown: bool) -> None:
        if not self._alone:
            return
        self.list.setMinimumWidth(120)
        self.list.setMaximumWidth(16_777_215)
        self.list.setVisible(list_shown)
        self.pane.setVisible(not list_shown)
        self.back_button.setVisible(not list_shown)

    def _enter(self) -> None:
        self._show_question()
        self._single(list_shown=False)
        self.panes()[1].setFocus()

    def _to_list(self) -> None:
        self._single(list_shown=True)
        self.list.setFocus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Chooses between two panes and one."""
        super().resizeEvent(event)
        self._rearrange()


_FIELDS = ("system", "symptom", "make", "family", "since", "until", "source", "outside")
