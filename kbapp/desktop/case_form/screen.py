"""The case as a form: what is finished is recorded a moment later, what is half written is a draft meanwhile."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPoint
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QMenu, QStackedWidget, QWidget

from kbapp.app.suggestions import Suggestion, accept
from kbapp.app.timeline_order import added, moved, replaced, without
from kbapp.desktop.case_form.case_page import CasePage
from kbapp.desktop.case_form.conflict_view import ConflictView
from kbapp.desktop.case_form.desk import CaseDesk, Shown
from kbapp.desktop.case_form.reason_bar import ReasonBar
from kbapp.desktop.case_form.suggestions_side import SuggestionsSide
from kbapp.desktop.context import Context
from kbapp.desktop.forms.sided import Sided
from kbapp.desktop.keys import action
from kbapp.desktop.private.desk import PrivateDesk
from kbapp.desktop.private.page import PrivatePage
from kbapp.desktop.reading.case_head import case_title
from kbapp.desktop.screens import Screen, has_screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _, ngettext
from kbapp.records.case import Case, Link, Retest
from kbapp.records.private import PrivateDetails
from kbapp.records.timeline import TimelineEntry
from kbapp.wording.case_words import vehicle_words
from kbapp.wording.form_words import field_words
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.conflict import Dispute
    from kbapp.app.part_names import PartNames
    from kbapp.app.session import Session
    from kbapp.app.vehicle_names import VehicleNames
    from kbapp.app.working import CaseWork


ROOM: Final = 82
"""From how many times the size of the type the head has room for all its buttons."""


@dataclass(frozen=True, slots=True)
class Beside:
    """What is read beside the case: suggestions, what tied cases are called."""

    case_id: str
    suggestions: tuple[Suggestion, ...]
    names: dict[str, str]


class CaseScreen(Screen):
    """The form of one case. ``arrive`` takes the id or number of a case."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("The case"))
        theme = context.theme
        self.desk = CaseDesk(context.book, self)
        self.private_desk = PrivateDesk(context.book, self)
        self._beside = Latest(context.tasks, self)
        self._opened_case = ""
        self._add_head()
        self.reason = ReasonBar(theme)
        self.page = CasePage(theme)
        self.side = SuggestionsSide(theme)
        self.sided = Sided(theme, self.page, self.side, 0)
        self.private = PrivatePage(theme)
        self.conflict = ConflictView(theme)
        self.stack = QStackedWidget()
        for page in (self.sided, self.private, self.conflict):
            self.stack.addWidget(page)
        self.body.addWidget(self.reason)
        self.body.addWidget(self.stack, 1)
        self._connect()
        action("record", self, self._record_now)
        self.stack.setEnabled(False)

    def _add_head(self) -> None:
        theme = self.context.theme
        self.undo_button = Button(theme, "", "quiet", "undo")
        self.redo_button = Button(theme, "", "quiet", "redo")
        for button, name, handler in (
            (self.undo_button, _("Undo"), self.desk.undo), (self.redo_button, _("Redo"), self.desk.redo),
        ):  # fmt: skip
            button.setAccessibleName(name)
            button.setToolTip(name)
            button.setEnabled(False)
            button.clicked.connect(handler)
            self.head.add(button)
        self.private_button = Button(theme, _("Private record"), "plain")
        self.private_button.clicked.connect(self.show_private)
        self.look_button = Button(theme, _("Cases like it"), "plain", "look")
        self.look_button.clicked.connect(self._look)
        self.board_button = Button(theme, _("Split Board"), "plain", "split")
        self.board_button.clicked.connect(lambda: self.context.go("split", self.desk.case_id))
        self.more_button = Button(theme, _("More"), "plain", "menu")
        self.more_button.clicked.connect(self._open_menu)
        for button in (self.private_button, self.look_button, self.board_button, self.more_button):
            self.head.add(button)
        self.menu = QMenu(self)
        self.menu.setAccessibleName(_("More"))
        kept = (self.private_button, self.look_button, *((self.board_button,) if has_screen("split") else ()))
        for button in kept:
            self.menu.addAction(button.text(), button.click)
        theme.changed.connect(self._fit_head)

    def _open_menu(self) -> None:
        self.menu.popup(self.more_button.mapToGlobal(QPoint(0, self.more_button.height())))

    def _fit_head(self) -> None:
        """Keeps room for the title: where there is little, the buttons stand in a menu."""
        wide = self.width() >= ROOM * self.context.theme.look.metrics.body
        for button in (self.private_button, self.look_button):
            button.setVisible(wide)
        self.board_button.setVisible(wide and has_screen("split"))
        self.more_button.setVisible(not wide)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Chooses between buttons and a menu."""
        super().resizeEvent(event)
        self._fit_head()

    def _connect(self) -> None:
        desk, page = self.desk, self.page
        desk.shown.connect(self._show)
        desk.recorded.connect(lambda: self.say_kept("recorded"))
        desk.kept.connect(lambda: self.say_kept("draft"))
        desk.faulty.connect(page.show_faults)
        desk.reason_wanted.connect(self._ask_reason)
        desk.disputed.connect(self._show_dispute)
        desk.left_over.connect(self._offer_draft)
        desk.failed.connect(self._failed)
        page.written.connect(desk.write)
        page.finished.connect(lambda name, text: desk.write(name, text, finished=True))
        self.reason.given.connect(self._reason_given)
        self.reason.put_back.connect(self._put_back)
        for section in (page.timeline, page.retests):
            section.ready.connect(self._record_line)
            section.removed.connect(self._remove_line)
        page.timeline.moved.connect(self._move_line)
        page.links.wanted.connect(self._tie)
        page.links.dropped.connect(self._untie)
        page.links.opened.connect(lambda case_id: self.context.go("case", case_id))
        self.side.accepted.connect(self._accept)
        record = self.private_desk
        self.private.kept.connect(lambda details: record.keep(desk.case_id, details))
        self.private.erased.connect(lambda: record.erase(desk.case_id))
        record.shown.connect(self._private_read)
        record.kept.connect(self._private_kept)
        record.erased.connect(self._private_erased)
        record.failed.connect(self._failed)
        self.private.left.connect(self._to_form)
        self.conflict.settled.connect(self._settle)
        self.conflict.put_off.connect(self._to_form)
        self.context.book.opened.connect(self._book_opened)

    # -- opening and showing

    def arrive(self, value: object) -> None:
        """Takes a case in hand, by id or number; nothing leaves it as it is."""
        if not isinstance(value, str) or not value:
            return
        now = self.desk.now
        if now is not None and value in (now.case.id, now.case.number):
            return
        self._opened_case = value
        if self.context.book.state == "open":
            self._open()

    def _book_opened(self) -> None:
        if self._opened_case and not self.desk.case_id:
            self._open()

    def _open(self) -> None:
        self.desk.open(self._opened_case)
        self.notes.put(None)
        self.reason.hide()
        self.side.forget()
        for section in (self.page.timeline, self.page.retests):
            section.form.close_form()
        self.stack.setCurrentWidget(self.sided)
        self.head.kept.clear()
        self.context.book.run("read", self, lambda session, _control: _names(session), self._know, self._failed)

    def _know(self, names: "tuple[VehicleNames, PartNames]") -> None:
        self.page.know(*names)

    def _show(self, shown: Shown) -> None:
        first = not self.stack.isEnabled()
        self.stack.setEnabled(True)
        case = shown.case
        self.head.set_title(case_title(case))
        state = term("state", case.state)
        self.head.set_remark("  ·  ".join(filter(None, (vehicle_words(case.vehicle), state))))
        self.undo_button.setEnabled(shown.can_undo)
        self.redo_button.setEnabled(shown.can_redo)
        for section in (self.page.timeline, self.page.retests):
            section.form.author = self.context.book.info.author if self.context.book.info else ""
            section.form.currency = self.context.preferences.now.currency
        self.page.show_case(shown, self.desk.pending)
        if not self.desk.pending:
            self.reason.hide()
        self._read_beside(case)
        if first and self.isVisible():
            self.first().setFocus()

    def _read_beside(self, case: Case) -> None:
        def work(session: "Session") -> Beside:
            tied = session.rows([link.case for link in case.links])
            names = {row.id: f"{row.number}  {' '.join(row.concern.split())}"[:160] for row in tied}
            found = () if case.state == "proved" else session.suggestions(case)  # what is signed is not reworked
            return Beside(case.id, found, names)

        self._beside.ask(
            self.context.book.bound(lambda session, _control: work(session)), self._show_beside, self._failed
        )

    def _show_beside(self, beside: Beside) -> None:
        if beside.case_id == self.desk.case_id:
            self.side.show_suggestions(beside.suggestions)
            self.page.links.show_names(beside.names)

    def _failed(self, error: Exception) -> None:
        self.context.presenter.show(error, self.notes)

    # -- recording

    def _record_now(self) -> None:
        for section in (self.page.timeline, self.page.retests):
            if section.form.is_open:
                section.form.record()
                return
        if self.stack.currentWidget() is self.private:
            self.private.keep()
        elif self.stack.currentWidget() is self.conflict:
            self.conflict.save()
        else:
            self.desk.commit()

    def _ask_reason(self) -> None:
        self.reason.ask()
        self.reason.edit.setFocus()

    def _reason_given(self, reason: str) -> None:
        self.desk.reason = reason
        self.reason.hide()
        self.desk.commit()

    def _put_back(self) -> None:
        self.reason.hide()
        self.desk.throw_away()
        self.first().setFocus()

    def _record_line(self, kind: str, line: TimelineEntry | Retest, is_new: bool) -> None:  # noqa: FBT001 - a signal's
        section = self.page.retests if kind == "retest" else self.page.timeline

        def change(work: "CaseWork") -> Case:
            if not is_new:
                return replaced(work.case, line)
            return added(work.case, line, work.next_id("r" if kind == "retest" else "e"))

        self.desk.step(change, section.written)

    def _remove_line(self, line_id: str) -> None:
        self.desk.step(lambda work: without(work.case, line_id))

    def _move_line(self, line_id: str, step: int) -> None:
        self.desk.step(lambda work: moved(work.case, line_id, step))

    def _tie(self, kind: str, number: str) -> None:
        def found(case_id: str) -> None:
            link = Link.model_validate({"kind": kind, "case": case_id})
            self.page.links.number.put("")
            self.desk.step(lambda work: work.case.model_copy(update={"links": (*work.case.links, link)}))

        self.context.book.run(
            "read", self, lambda session, _control: session.case(number).case.id, found, self._failed
        )  # fmt: skip

    def _untie(self, link: Link) -> None:
        self.desk.step(
            lambda work: work.case.model_copy(update={"links": tuple(item for item in work.case.links if item != link)})
        )

    # -- suggestions

    def _accept(self, suggestion: Suggestion) -> None:
        author = self.context.book.info.author if self.context.book.info else ""
        if suggestion.kind == "vin":
            vin = suggestion.value
            case_id = self.desk.case_id
            self.private_desk.keep_vin(
                case_id, vin, lambda: self.desk.step(lambda work: accept(work.case, suggestion, work.next_id()))
            )
            return
        self.desk.step(lambda work: accept(work.case, suggestion, work.next_id(), author))

    # -- drafts of before

    def _offer_draft(self, texts: dict[str, str]) -> None:
        take = Button(self.context.theme, _("Go on with it"), "primary")
        drop = Button(self.context.theme, _("Throw it away"), "danger")

        def take_up() -> None:
            self.notes.put(None)
            self.page.put_texts(texts)
            self.desk.take_up(texts)

        def throw_away() -> None:
            self.notes.put(None)
            self.desk.throw_away()

        take.clicked.connect(take_up)
        drop.clicked.connect(throw_away)
        count = len(texts)
        words = ngettext(
            "{n} field was written and never recorded", "{n} fields were written and never recorded", count
        )
        fields = ", ".join(field_words(name) for name in list(texts)[:4])
        self.notes.put(Note(self.context.theme, "note", "info", words.format(n=count), fields, [take, drop]))

    # -- two at once

    def _show_dispute(self, dispute: "Dispute") -> None:
        self.conflict.show_dispute(dispute)
        self.stack.setCurrentWidget(self.conflict)
        self.conflict.first().setFocus()

    def _settle(self, settled: Case) -> None:
        dispute = self.conflict.dispute
        if dispute is not None:
            self.desk.settle(settled, dispute, self._to_form)

    def _to_form(self) -> None:
        self.stack.setCurrentWidget(self.sided)
        self.first().setFocus()

    # -- the private record

    def show_private(self) -> None:
        """Shows the private record of the case."""
        if self.desk.case_id:
            self.private_desk.read(self.desk.case_id)

    def _private_read(self, details: PrivateDetails) -> None:
        self.private.show_details(details)
        self.stack.setCurrentWidget(self.private)
        self.private.first().setFocus()

    def _private_kept(self, details: PrivateDetails) -> None:
        self.private.show_details(details)
        self.say_kept("recorded")

    def _private_erased(self) -> None:
        self.private.show_details(PrivateDetails())
        self.private.say_erased()

    def _look(self) -> None:
        if self.desk.now is not None:
            from kbapp.app.board import question_of

            self.context.go("look", question_of(self.desk.now.case))

    # -- the frame's questions

    def first(self) -> QWidget:
        """Returns the first control of what is shown."""
        current = self.stack.currentWidget()
        if current is self.private:
            return self.private.first()
        return self.conflict.first() if current is self.conflict else self.page.first()

    def panes(self) -> tuple[QWidget, ...]:
        """Returns form, timeline and suggestions."""
        return (self.first(), self.page.timeline.list, self.side.list)

    def leave(self) -> bool:
        """Leaves the form of a line, the private record or the dispute."""
        for section in (self.page.timeline, self.page.retests):
            if section.form.leave():
                return True
        if self.stack.currentWidget() is not self.sided:
            self._to_form()
            return True
        return False

    def undo(self) -> bool:
        """Takes the last step back."""
        if self.desk.now is not None and (self.desk.now.can_undo or self.desk.pending):
            self.desk.undo()
        return True

    def redo(self) -> bool:
        """Does the last undone step again."""
        if self.desk.now is not None and self.desk.now.can_redo:
            self.desk.redo()
        return True

    def gone(self) -> None:
        """Records what is finished when another screen is shown."""
        self.desk.commit()

    def closing(self) -> None:
        """Brings into safety what is written."""
        self.desk.leave()

    def keep(self) -> dict[str, object]:
        """Returns the widths of the panes."""
        sizes = self.sided.sizes()
        return {"panes": sizes} if sizes else {}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes over the widths of the panes."""
        self.sided.set_sizes(kept.get("panes"))


def _names(session: "Session") -> "tuple[VehicleNames, PartNames]":
    return session.vehicle_names(), session.part_names()
