"""Lead Check: the queue left, the case right; signing, sending back, and everything that comes after a repair."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QStackedWidget, QVBoxLayout, QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.keys import action
from kbapp.desktop.lead_check.more_row import MoreRow
from kbapp.desktop.lead_check.page import LeadPage
from kbapp.desktop.lead_check.panels import (
    ActionPanel,
    ComebackPanel,
    CorrectPanel,
    FollowUpPanel,
    PeoplePanel,
    ReasonPanel,
    Work,
)
from kbapp.desktop.lead_check.queue_list import QueueDelegate, QueueLine, queue_line
from kbapp.desktop.lead_check.sign_bar import SignBar
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.note import Note
from kbapp.errors import KbError
from kbapp.i18n import _, ngettext
from kbapp.wording.proof_words import lack_words

if TYPE_CHECKING:
    from kbapp.app.lead_check import LeadView, Queue
    from kbapp.app.session import Session
    from kbapp.lookup.question import Hit
    from kbapp.records.case import Case


class LeadCheckScreen(Screen):
    """The screen of the lead."""

    def __init__(self, context: Context) -> None:
        super().__init__(
            context, _("Lead Check"), _("A repair is proved by its cause, a matching retest and a signature.")
        )
        theme = context.theme
        self._view: LeadView | None = None
        self._wanted = ""
        self._panel: ActionPanel | None = None
        self._queueing, self._reading, self._kin = (Latest(context.tasks, self) for _n in range(3))
        self.people_button = Button(theme, _("People"), "plain")
        self.people_button.clicked.connect(self.open_people)
        self.list_button = Button(theme, _("Back to the queue"), "plain", "left")
        self.list_button.clicked.connect(self._to_queue)
        self.head.add(self.list_button)
        self.head.add(self.people_button)
        self.queue_head = SectionHead(theme, _("The queue"))
        self.queue_model = LinesModel[QueueLine](QueueLine.spoken, self)
        self.queue = Lines(theme, _("Cases that wait"), margin=False, whole=True)
        self.queue.setModel(self.queue_model)
        self.queue.setItemDelegate(QueueDelegate(theme, self.queue))
        self.queue_notes = NotePlace(theme)
        self.page = LeadPage(theme)
        self.sign_bar = SignBar(theme)
        self.more = MoreRow(self)
        self._lay_out()
        self._connect()
        self._start()

    def _lay_out(self) -> None:
        self.left_pane = QWidget()
        column = QVBoxLayout(self.left_pane)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.queue_head, self.queue_notes):
            column.addWidget(widget)
        column.addWidget(self.queue, 1)
        reading = QWidget()
        column = QVBoxLayout(reading)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.page, 1)
        column.addWidget(self.sign_bar)
        self.page.column.insertWidget(1, self.more)
        self.right = QStackedWidget()
        self.right.addWidget(reading)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(self.left_pane)
        self.split.addWidget(self.right)
        self.split.setStretchFactor(1, 1)
        self.split.setSizes([410, 690])
        self.body.addWidget(self.split, 1)

    def _connect(self) -> None:
        book, bar = self.context.book, self.sign_bar
        self.queue.picked.connect(self._picked)
        self.queue.opened.connect(lambda _row: self._open_page())
        bar.prove.connect(self.prove)
        bar.send_back.connect(self.open_send_back)
        bar.not_proved.connect(self.open_not_proved)
        bar.take_over.connect(self._take_over)
        bar.people_wanted.connect(self.open_people)
        self.page.kin_wanted.connect(lambda case_id: self.context.go("compare", (self._wanted, case_id)))
        self.page.word_wanted.connect(self._add_word)
        for signal in (book.opened, book.opening, book.failed):
            signal.connect(self._start)
        book.changed.connect(self._changed)
        action("prove", self, self.prove)
        action("send-back", self, self.open_send_back)

    # -- the queue

    def _start(self) -> None:
        if self.context.book.state == "open":
            self.refresh()

    def refresh(self) -> None:
        """Reads the queue anew."""
        self._queueing.ask(
            self.context.book.bound(lambda session, _control: session.lead_check().queue()),
            self._show_queue,
            self._failed,
        )

    def _show_queue(self, queue: "Queue") -> None:
        lines = tuple(queue_line(row) for row in queue.rows)
        waiting = sum(line.stamp.word == _("Waiting") for line in lines)
        said = ngettext("{n} waits", "{n} wait", waiting).format(n=waiting)
        self.queue_head.set_text(_("The queue"), said)
        self.queue.blockSignals(True)
        self.queue_model.replace(lines)
        self.queue.blockSignals(False)
        self._mark_line()
        if not lines:
            hint = _("A case comes here when it is repaired. Comebacks and follow-ups: open a case from the Bench.")
            self.queue_notes.put(Note(self.context.theme, "seal", "plain", _("Nothing waits for a signature"), hint))
        else:
            self.queue_notes.put(None)
        if not self._wanted and lines:
            self.queue.pick(0)

    def _mark_line(self) -> None:
        """Marks the line of the case that is shown; none where it does not wait."""
        rows = [line.case_id for line in self.queue_model.rows]
        self.queue.blockSignals(True)
        if self._wanted in rows:
            self.queue.pick(rows.index(self._wanted))
        else:
            self.queue.setCurrentIndex(QModelIndex())
            self.queue.clearSelection()
        self.queue.blockSignals(False)

    def _picked(self, row: int) -> None:
        line = self.queue_model.rows[row]
        if line.case_id != self._wanted:
            self.open_case(line.case_id)

    # -- one case

    def open_case(self, case_id: str) -> None:
        """Shows a case, whether it waits or not."""
        if case_id != self._wanted:
            self.close_panel()
            self.notes.put(None)
        self._wanted = case_id
        self._read()

    def _read(self) -> None:
        wanted = self._wanted

        def done(view: "LeadView") -> None:
            if wanted == self._wanted:
                self._wanted = view.case.id
                self._mark_line()
                self._show(view)

        work = self.context.book.bound(lambda session, _control: session.lead_check().view(wanted))
        self._reading.ask(work, done, self._failed)

    def _show(self, view: "LeadView") -> None:
        another = self._view is None or self._view.case.id != view.case.id
        self._view = view
        self.page.show_view(view)
        if another:
            self.page.verticalScrollBar().setValue(0)
            self.page.show_kin(())
        waits = "repaired" if view.case.state == "repaired" else ""
        if view.case.state == "proved" and not view.view.signed_here:
            waits = "elsewhere"
        info = self.context.book.info
        why = lack_words(view.lacks[0]) if view.lacks and waits == "repaired" else ""
        self.sign_bar.show_for(waits, view.roster, info.author if info else "", why)
        self.more.show_for(view.case)
        self._ask_kin(view.case)

    def _ask_kin(self, case: "Case") -> None:
        def work(session: "Session", stop: Callable[[], bool]) -> "tuple[Hit, ...]":
            from kbapp.app.lead_check import kin_question, near_duplicates

            return near_duplicates(session.look(kin_question(case), stop), case)

        self._kin.ask(
            self.context.book.bound(lambda session, control: work(session, control.stopped)),
            self.page.show_kin,
            self._failed,
        )

    def _failed(self, error: Exception) -> None:
        self.context.presenter.show(error, self.notes)

    def _changed(self, changes: ChangeSet) -> None:
        self.refresh()
        if self._wanted in changes.cases:
            self._read()

    # -- signing

    def prove(self) -> None:
        """Signs the case that is shown as proved."""
        by = self.sign_bar.by.value()
        if self.sign_bar.prove_button.isVisible():
            self._do(lambda case_id, revision: lambda s: s.lead_check().accept(case_id, revision, by), _("Proved"))

    def _take_over(self) -> None:
        by = self.sign_bar.by.value()
        self._do(lambda case_id, _revision: lambda s: s.lead_check().accept_elsewhere(case_id, by), _("Taken over"))

    def _add_word(self, word: str) -> None:
        self._do(lambda case_id, revision: lambda s: s.lead_check().add_word(case_id, revision, word), "")

    def _do(self, make: "Callable[[str, int], Work]", said: str) -> None:
        """Runs a change on the case that is shown, as it was seen."""
        view = self._view
        if view is None or self.context.book.state != "open":
            return
        self._run(make(view.case.id, view.view.revision), said)

    def _run(self, work: "Work", said: str) -> None:
        def done(_changes: ChangeSet) -> None:
            self.close_panel()
            self.head.kept.say("recorded")
            self.notes.put(Note(self.context.theme, "tick", "good", said) if said else None)

        def failed(error: Exception) -> None:
            self._failed(error)
            if self.context.book.state == "open":
                self.refresh()
                self._read()

        self.context.book.change(self, work, done, failed)

    # -- panels

    def open_send_back(self) -> None:
        """Asks for the words a case is sent back with."""
        by = self.sign_bar.by.value()
        if self.sign_bar.back_button.isVisible():
            about = _("It goes back to whoever worked on it, with your words, and waits here again once it is changed.")
            self._open(ReasonPanel(
                self.context.theme, _("Send back"), about, _("Send back"), _("What to do (10 characters or more)"),
                lambda session, case, revision, words: session.lead_check().send_back(case.id, revision, by, words),
            ), _("Sent back"))  # fmt: skip

    def open_not_proved(self) -> None:
        """Asks why a case stands unproved."""
        by = self.sign_bar.by.value()
        about = _("The case is done but counts nowhere: no figure and no map learns from it.")
        self._open(ReasonPanel(
            self.context.theme, _("Accept as not proved"), about, _("Accept as not proved"), _("Why"),
            lambda session, case, revision, words: session.lead_check().not_proved(case.id, revision, by, words),
        ), _("Stands as not proved"))  # fmt: skip

    def open_withdraw(self) -> None:
        """Asks why a case is withdrawn."""
        about = _("It stays readable but counts nowhere. Shops that have it hear of it with the next pack.")
        self._open(ReasonPanel(
            self.context.theme, _("Withdraw"), about, _("Withdraw"), _("Why (10 characters or more)"),
            lambda session, case, revision, words: session.aftercare().withdraw(case.id, revision, words), "danger",
        ), _("Withdrawn"))  # fmt: skip

    def open_same(self) -> None:
        """Asks for the other record of the same job."""
        about = _("Both records stay and name each other; in the figures they count once.")
        self._open(ReasonPanel(
            self.context.theme, _("Same job as"), about, _("Join them"), _("Number of the other case"),
            lambda session, case, revision, words: session.aftercare().same_as(case.id, revision, words.strip()),
        ), _("Joined"))  # fmt: skip

    def open_correct(self) -> None:
        """Corrects what is written."""
        if self._view is not None:
            self._open(CorrectPanel(self.context.theme, self._view.case), _("Corrected"))

    def open_comeback(self) -> None:
        """Records that the vehicle came back."""
        self._open(ComebackPanel(self.context.theme), _("A new case is open for it; the Bench has it"))

    def open_follow_up(self) -> None:
        """Records that a follow-up was done."""
        if self._view is not None:
            self._open(FollowUpPanel(self.context.theme, self._view.case), _("Followed up"))

    def open_people(self) -> None:
        """Shows who works here."""
        if self.context.book.state != "open":
            return
        info = self.context.book.info
        author = info.author if info else ""

        def show(roster: object) -> None:
            from kbapp.app.people import Roster

            if isinstance(roster, Roster):
                lead = roster.find(author)
                by = (
                    lead.initials
                    if lead is not None and lead.initials in roster.leads
                    else next(iter(roster.leads), author)
                )
                panel = PeoplePanel(self.context.theme, roster, by)
                panel.done.connect(lambda: self._keep_people(panel))
                self._show_panel(panel)

        self.context.book.run("read", self, lambda session, _control: session.people().read(), show, self._failed)

    def _keep_people(self, panel: PeoplePanel) -> None:
        def done(_none: None) -> None:
            self.close_panel()
            self.head.kept.say("recorded")
            self.notes.put(None)
            if self._wanted:
                self._read()

        try:
            work = panel.keep()
            self.context.book.run("change", self, lambda session, _control: work(session), done, self._failed)
        except KbError as error:
            self._failed(error)

    def _open(self, panel: ActionPanel, said: str) -> None:
        view = self._view
        if view is None:
            return
        panel.done.connect(lambda: self._run(panel.work(view.case, view.view.revision), said))
        self._show_panel(panel)

    def _show_panel(self, panel: ActionPanel) -> None:
        self.close_panel()
        panel.left.connect(self.close_panel)
        self._panel = panel
        self.right.addWidget(panel)
        self.right.setCurrentWidget(panel)
        self._single("page")
        panel.first().setFocus()

    def close_panel(self) -> None:
        """Goes back from a panel to the case."""
        panel, self._panel = self._panel, None
        if panel is not None:
            self.right.setCurrentIndex(0)
            self.right.removeWidget(panel)
            panel.hide()
            panel.deleteLater()
            self.page.setFocus()

    # -- the frame's questions

    def arrive(self, value: object) -> None:
        """Takes the id or number of a case."""
        if isinstance(value, str) and value:
            self.open_case(value)
            self._single("page")

    def first(self) -> QWidget:
        """Returns the queue, or the case where that stands alone or does not wait."""
        if self._panel is not None:
            return self._panel.first()
        # a list that has the keyboard picks a line: a case asked for by another screen stays as it is
        waits = not self._wanted or self._wanted in [line.case_id for line in self.queue_model.rows]
        return self.queue if self.left_pane.isVisible() and waits else self.page

    def panes(self) -> tuple[QWidget, ...]:
        """Returns queue, case and signature."""
        return (self.queue, self._panel.page if self._panel is not None else self.page, self.sign_bar.by)

    def leave(self) -> bool:
        """Leaves a panel, or goes back to the queue where that stands alone."""
        if self._panel is not None:
            self.close_panel()
            return True
        if not self.left_pane.isVisible():
            self._to_queue()
            return True
        return False

    def _wide(self) -> bool:
        return self.width() >= 2 * self.context.theme.look.metrics.pane + 8

    def _single(self, which: str) -> None:
        alone = not self._wide()
        self.left_pane.setVisible(not alone or which == "queue")
        self.right.setVisible(not alone or which == "page")
        self.list_button.setVisible(alone and which == "page")

    def _open_page(self) -> None:
        self._single("page")
        self.page.setFocus()

    def _to_queue(self) -> None:
        self._single("queue")
        self.queue.setFocus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shows queue and case side by side where both have room."""
        super().resizeEvent(event)
        self._single("page" if self._panel is not None or not self.left_pane.isVisible() else "queue")
