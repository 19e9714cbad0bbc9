"""Jot: a case in five lines, recorded with Ctrl+Enter and found at once; what the book already knows stands beside."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSplitter, QVBoxLayout, QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.draft_keeper import DraftKeeper
from kbapp.desktop.jot.form import JotForm
from kbapp.desktop.jot.lines import PREFIX, JotText
from kbapp.desktop.keys import action, key, shown
from kbapp.desktop.look_first.results import ResultDelegate, ResultRow, rows_of, speak_result
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _, ngettext
from kbapp.lookup.question import Answer, Question

if TYPE_CHECKING:
    from kbapp.app.session import Session

KIN_MS = 350
KIN = 5


class JotScreen(Screen):
    """The five lines left, cases like this one right."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Jot"), _("Five lines, less than a minute. It is found as soon as it is recorded."))
        theme = context.theme
        self._recording = False
        self._offered: list[tuple[str, str]] = []
        self.form = JotForm(theme)
        self.drafts = DraftKeeper(context.book, PREFIX, self)
        self.drafts.begin()
        self.record_button = Button(theme, _("Record"), "primary", "tick")
        self.record_button.setToolTip(shown(key("record")))
        self.record_button.clicked.connect(self.record)
        self.head.add(self.record_button)
        self._kin = Latest(context.tasks, self)
        self._kin_timer = QTimer(self)
        self._kin_timer.setSingleShot(True)
        self._kin_timer.setInterval(KIN_MS)
        self._kin_timer.timeout.connect(self._look_for_kin)
        self._lay_out()
        self.form.written.connect(self._written)
        self.form.ended.connect(self.record_button.setFocus)
        self.drafts.kept.connect(lambda: self.head.kept.say("draft"))
        self.drafts.failed.connect(lambda error: context.presenter.show(error, self.notes))
        self.drafts.found.connect(self._offer)
        action("record", self, self.record)
        context.book.opened.connect(self._opened)
        if context.book.state == "open":
            self.drafts.search()

    def _lay_out(self) -> None:
        theme = self.context.theme
        self.area = QScrollArea()
        self.area.setWidget(self.form)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.kin_head = SectionHead(theme, _("In the book already"))
        self.kin_model = LinesModel[ResultRow](speak_result, self)
        self.kin_list = Lines(theme, _("Cases like this one"))
        self.kin_list.setModel(self.kin_model)
        self.kin_list.setItemDelegate(ResultDelegate(theme, self.kin_list))
        self.kin_list.opened.connect(self._read_kin)
        self.side = QWidget()
        column = QVBoxLayout(self.side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.kin_head)
        column.addWidget(self.kin_list, 1)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(self.area)
        self.split.addWidget(self.side)
        self.split.setSizes([620, 470])
        self.body.addWidget(self.split, 1)
        self._say_kin(())

    # -- writing

    def _written(self) -> None:
        text = self.form.text()
        self.drafts.write("" if text.blank else text.to_draft())
        self._kin_timer.start()
        if text.blank:
            self.head.kept.clear()

    def _opened(self) -> None:
        self.drafts.search()
        self.drafts.flush()
        self._kin_timer.start()

    # -- recording

    def record(self) -> None:
        """Records the five lines; they stay as they are if that fails."""
        text = self.form.text()
        if self._recording:
            return
        if not text.concern.strip():
            fact = _("The first line is still blank")
            hint = _("Write what the vehicle does; the other four may stay blank.")
            self.notes.put(Note(self.context.theme, "jot", "caution", fact, hint))
            self.form.edits["concern"].setFocus()
            return
        if self.context.book.state != "open":
            fact = _("The book is not open yet; your lines are kept here")
            self.notes.put(Note(self.context.theme, "clock", "info", fact, _("Record again in a moment.")))
            return
        self._set_recording(recording=True)
        self.context.book.change(self, lambda session: _record(session, text), self._recorded, self._failed)

    def _set_recording(self, *, recording: bool) -> None:
        self._recording = recording
        self.form.lock(locked=recording)
        self.record_button.setEnabled(not recording)

    def _failed(self, error: Exception) -> None:
        self._set_recording(recording=False)
        self.context.presenter.show(error, self.notes)

    def _recorded(self, changes: ChangeSet) -> None:
        self._set_recording(recording=False)
        self.drafts.recorded()
        self.drafts.begin()
        self.form.put(JotText())
        self.head.kept.say("recorded")
        self.form.edits["concern"].setFocus()
        case_id = changes.cases[0]
        self.context.book.run(
            "read", self, lambda session, _control: session.case(case_id).case.number, self._say_where, self._failed
        )

    def _say_where(self, number: str) -> None:
        show = Button(self.context.theme, _("Show it in Look First"), "plain", "look")
        show.clicked.connect(lambda: self.context.go("look", number))
        fill = Button(self.context.theme, _("Fill in the rest"), "plain", "note")
        fill.clicked.connect(lambda: self.context.go("case", number))
        fact = _("Recorded as {number}").format(number=number)
        hint = _("Look First finds it now, by its number or any word you wrote. Details can follow at any time.")
        self.notes.put(Note(self.context.theme, "tick", "good", fact, hint, [show, fill]))

    # -- drafts of before

    def _offer(self, found: list[tuple[str, str]]) -> None:
        self._offered = found
        if self._recording or not self.form.text().blank or not found:
            return
        draft_key, text = found[0]
        lines = JotText.from_draft(text)
        take = Button(self.context.theme, _("Go on with it"), "primary")
        drop = Button(self.context.theme, _("Throw it away"), "danger")
        take.clicked.connect(lambda: self._take_up(draft_key, lines))
        drop.clicked.connect(lambda: self._throw_away(draft_key))
        fact = ngettext("{n} jot was kept and never recorded", "{n} jots were kept and never recorded", len(found))
        hint = _("It begins: {words}").format(
            words=" ".join((lines.concern or lines.vehicle or lines.tried).split())[:120]
        )
        self.notes.put(Note(self.context.theme, "jot", "info", fact.format(n=len(found)), hint, [take, drop]))

    def _take_up(self, draft_key: str, lines: JotText) -> None:
        self.drafts.take_up(draft_key, lines.to_draft())
        self.form.put(lines)
        self.notes.put(None)
        self.form.edits["concern"].setFocus()

    def _throw_away(self, draft_key: str) -> None:
        self.drafts.throw_away(draft_key)
        self.notes.put(None)
        self._offer([item for item in self._offered if item[0] != draft_key])

    # -- cases like this one

    def _look_for_kin(self) -> None:
        text = self.form.text()
        if not text.concern.strip() or self.context.book.state != "open":
            self._kin.cancel()
            self._say_kin(())
            return
        question = Question(text=" ".join((text.concern, text.vehicle, text.split)), limit=KIN)
        self._kin.ask(
            self.context.book.bound(lambda session, control: session.look(question, control.stopped)),
            self._show_kin,
            self._failed,
        )

    def _show_kin(self, answer: Answer) -> None:
        self._say_kin(rows_of(answer.hits))

    def _say_kin(self, rows: tuple[ResultRow, ...]) -> None:
        self.kin_model.replace(rows)
        remark = _("closest first; Enter reads one") if rows else _("shown while you write the first line")
        self.kin_head.set_text(_("In the book already"), remark)

    def _read_kin(self, row: int) -> None:
        self.context.go("look", self.kin_model.rows[row].hit.number)

    # -- the frame's questions

    def first(self) -> QWidget:
        """Returns the first line."""
        return self.form.edits["concern"]

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the lines and the list beside them."""
        return (self.form.edits["concern"], self.kin_list)

    def closing(self) -> None:
        """Keeps what is written."""
        self.drafts.leave()

    def keep(self) -> dict[str, object]:
        """Returns the widths of the panes."""
        return {"panes": self.split.sizes()} if self.side.isVisible() else {}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes over the widths of the panes."""
        sizes = kept.get("panes")
        if isinstance(sizes, list) and len(sizes) == 2 and all(isinstance(size, int) for size in sizes):
            self.split.setSizes(sizes)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leaves out the list where both have no room."""
        super().resizeEvent(event)
        self.side.setVisible(self.width() >= 2 * self.context.theme.look.metrics.pane + 8)


def _record(session: "Session", text: JotText) -> ChangeSet:
    from kbapp.app.jot import Jot

    return session.jot(Jot(text.concern, text.vehicle, text.tried, text.split, text.fixed))
