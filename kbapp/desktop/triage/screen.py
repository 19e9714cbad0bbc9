"""Start a concern: the call on the left, what to ask now and cases like it beside; recorded with Ctrl+Enter."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from kbapp.app.triage import Answered, Headings, TriageSheet
from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.draft_keeper import DraftKeeper
from kbapp.desktop.forms.full_lines import title_list
from kbapp.desktop.forms.sided import Sided
from kbapp.desktop.keys import action, key, shown
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.private.scanner import Scanner
from kbapp.desktop.screens import Screen, has_screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.triage.done import Done
from kbapp.desktop.triage.form import TriageForm
from kbapp.desktop.triage.kin import Kin
from kbapp.desktop.triage.questions import Questions
from kbapp.desktop.triage.sheet_text import question_of_call, question_of_case, sheet_of_draft
from kbapp.desktop.triage.visits import Visits, visits_note
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _, ngettext
from kbapp.records.symptoms import symptom
from kbapp.records.triage_questions import questions_for
from kbapp.wording.triage_words import QUESTION_WORDS, question_words

if TYPE_CHECKING:
    from kbapp.app.bench import Visit
    from kbapp.app.part_names import PartNames
    from kbapp.app.session import Session
    from kbapp.app.vehicle_names import VehicleNames
    from kbapp.records.case import Case
    from kbapp.records.section_map import SectionMap

PREFIX = "triage:"


class TriageScreen(Screen):
    """The screen of a call."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Start a concern"), _("Only the concern must be written. Enter goes on."))
        theme = context.theme
        self._recording = False
        self._offered: list[tuple[str, str]] = []
        self._visits: tuple[Visit, ...] = ()
        self._case: Case | None = None
        self.record_button = Button(theme, _("Record"), "primary", "tick")
        self.record_button.setToolTip(shown(key("record")))
        self.clear_button = Button(theme, _("Next call"), "plain", "plus")
        for button in (self.clear_button, self.record_button):
            self.head.add(button)
        self.form = TriageForm(theme)
        self.visit_place = NotePlace(theme)
        self.form.column.insertWidget(2, self.visit_place)
        self.form.side_place += 1
        self.questions = Questions(theme)
        self.kin_head = SectionHead(theme, _("In the book already"))
        self.kin_list = title_list(theme, _("Cases like this one"))
        self.sided = Sided(theme, self.form, self._side(), self.form.side_place)
        self.done = Done(theme, has_board=has_screen("split"))
        self.stack = QStackedWidget()
        self.stack.addWidget(self.sided)
        self.stack.addWidget(self.done)
        self.body.addWidget(self.stack, 1)
        self.drafts = DraftKeeper(context.book, PREFIX, self)
        self.drafts.begin()
        self.kin = Kin(context.book, context.tasks, self)
        self.visits = Visits(context.book, context.tasks, self)
        self._terms = Latest(context.tasks, self)
        self.scanner = Scanner(self, self.form.caller.vin.edit, self.form.put_vin)
        self._connect()
        self._show_questions()
        self._show_kin(())
        if context.book.state == "open":
            self._opened()

    def _side(self) -> QWidget:
        side = QWidget()
        side.setAccessibleName(_("Ask now"))
        side.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.questions, self.kin_head, self.kin_list):
            column.addWidget(widget)
        return side

    def _connect(self) -> None:
        context, form = self.context, self.form
        self.record_button.clicked.connect(self.record)
        self.clear_button.clicked.connect(self.next_call)
        form.written.connect(self._written)
        form.concern_moved.connect(self._concern_moved)
        form.questions_wanted.connect(self._to_questions)
        form.ended.connect(self.record_button.setFocus)
        self.questions.changed.connect(self._written)
        self.questions.go_on.connect(form.parts.edit.setFocus)
        form.codes.textChanged.connect(self._count_codes)
        for name in ("plate", "phone", "vin"):
            form.caller.edits[name].done.connect(self.visits.look)
        self.visits.found.connect(self._show_visits)
        self.visits.failed.connect(self._failed)
        self.kin.found.connect(self._show_kin)
        self.kin.failed.connect(self._failed)
        self.kin_list.opened.connect(lambda row: self.context.go("look", self.kin_list.lines.rows[row].key))
        self.done.wanted.connect(self._go_on)
        self.done.map_chosen.connect(self._choose_map)
        self.done.read.connect(lambda number: self.context.go("look", number))
        self.drafts.kept.connect(lambda: self.head.kept.say("draft"))
        self.drafts.failed.connect(self._failed)
        self.drafts.found.connect(self._offer)
        action("record", self, self.record)
        context.book.opened.connect(self._opened)

    def _opened(self) -> None:
        self.drafts.search()
        self.drafts.flush()
        self.context.book.run("read", self, lambda session, _control: _names(session), self._know, self._failed)

    def _know(self, names: "tuple[VehicleNames, PartNames]") -> None:
        self.form.vehicle.know(names[0])
        self.form.parts.edit.offer(sorted({name for _spelling, name in names[1].names}, key=str.casefold))

    # -- writing

    def sheet(self) -> TriageSheet:
        """Returns what is written, with the answers."""
        answers = tuple(
            Answered(question=question_words(name), answer=text) for name, text in self.questions.answers().items()
        )
        return self.form.sheet().model_copy(update={"answers": answers})

    def _written(self) -> None:
        sheet = self.sheet()
        self.drafts.write("" if sheet.blank else sheet.model_dump_json(exclude_defaults=True))
        if sheet.blank:
            self.head.kept.clear()
        self.kin.ask(question_of_call(sheet))

    def _concern_moved(self) -> None:
        text = self.form.concern.toPlainText()

        def work(_control: object) -> tuple[str, ...]:
            from kbapp.app.concern_terms import terms_in

            return terms_in(text)

        self._terms.ask(work, self._show_terms, self._failed)
        self._show_questions()

    def _show_terms(self, terms: tuple[str, ...]) -> None:
        self.form.symptoms.offer(terms)
        self._show_questions()

    def _show_questions(self) -> None:
        chosen = self.form.symptoms.words or self.form.symptoms.offers[:1]
        found = next((item for item in map(symptom, chosen) if item), None)
        remark = chosen[0] if chosen else _("more follow once the concern is known")
        self.questions.ask(questions_for(chosen), found.system if found else None, remark=remark)

    def _to_questions(self) -> None:
        (self.questions.first() or self.form.parts.edit).setFocus()

    def _count_codes(self) -> None:
        from kbapp.app.codes_text import codes_from_text

        codes = [code.code for code in codes_from_text(self.form.codes.toPlainText())]
        words = ngettext("{n} code: {codes}", "{n} codes: {codes}", len(codes))
        remark = words.format(n=len(codes), codes=", ".join(dict.fromkeys(codes))) if codes else ""
        self.form.codes_head.set_text(_("Codes and equipment"), remark)

    def _show_kin(self, rows: object) -> None:
        lines = rows if isinstance(rows, tuple) else ()
        self.kin_list.show_rows(lines)
        self.kin_head.set_text(
            _("In the book already"), _("closest first; Enter reads one") if lines else _("shown as you write")
        )
        self.done.show_kin(lines)

    # -- earlier visits

    def _show_visits(self, visits: "tuple[Visit, ...]") -> None:
        self._visits = visits
        if not visits:
            self.visit_place.put(None)
            return
        take = Button(self.context.theme, _("Take the vehicle over"), "plain")
        read = Button(self.context.theme, _("Read the last visit"), "quiet")
        take.clicked.connect(self._take_vehicle)
        read.clicked.connect(lambda: self.context.go("look", visits[0].row.number))
        self.visit_place.put(visits_note(self.context.theme, visits, [take, read]))

    def _take_vehicle(self) -> None:
        row = self._visits[0].row
        year = str(row.model_year) if row.model_year else ""
        told = self.form.vehicle.texts()
        known = {"make": row.make, "family": row.family, "generation": row.generation, "engine": row.engine}
        self.form.vehicle.put({**told, **known, "model_year": year or told["model_year"]})
        self.form.vehicle_ref = row.vehicle_ref
        self._written()
        self.form.vehicle.edits["odometer"].setFocus()

    # -- recording

    def record(self) -> None:
        """Records the call as an open case; it stays written if that fails."""
        if self._recording or self.stack.currentWidget() is self.done:
            return
        self.form.symptoms.take_rest()
        self.form.conditions.take_rest()
        sheet = self.sheet()
        theme = self.context.theme
        if not sheet.concern.strip():
            hint = _("Write what the vehicle does; everything else may stay blank.")
            self.notes.put(Note(theme, "concern", "caution", _("The concern is still blank"), hint))
            self.form.concern.setFocus()
            return
        if self.context.book.state != "open":
            fact = _("The book is not open yet; what you wrote is kept here")
            self.notes.put(Note(theme, "clock", "info", fact, _("Record again in a moment.")))
            return
        self._set_recording(recording=True)
        headings = Headings(_("Asked on the phone"), _("What their equipment can do"))
        self.context.book.change(self, lambda session: session.triage(sheet, headings), self._recorded, self._failed)

    def _set_recording(self, *, recording: bool) -> None:
        self._recording = recording
        self.record_button.setEnabled(not recording)

    def _failed(self, error: Exception) -> None:
        self._set_recording(recording=False)
        self.context.presenter.show(error, self.notes)

    def _recorded(self, changes: ChangeSet) -> None:
        self._set_recording(recording=False)
        self.drafts.recorded()
        self.drafts.begin()
        self.notes.put(None)
        self._clear()
        self.head.kept.say("recorded")
        self._show_done(changes.cases[0])

    def _show_done(self, case_id: str) -> None:
        def work(session: "Session") -> "tuple[Case, tuple[SectionMap, ...]]":
            case = session.case(case_id).case
            return case, session.proposed_maps(case)

        def done(found: "tuple[Case, tuple[SectionMap, ...]]") -> None:
            self._case = found[0]
            self.done.show_case(*found)
            self.stack.setCurrentWidget(self.done)
            for button in (self.record_button, self.clear_button):
                button.hide()
            self.done.first().setFocus()
            self.kin.ask(question_of_case(found[0]))

        self.context.book.run("read", self, lambda session, _control: work(session), done, self._failed)

    def _go_on(self, where: str) -> None:
        case = self._case
        if where == "next" or case is None:
            self.next_call()
        elif where == "look":
            self.context.go("look", question_of_case(case))
        else:
            self.context.go(where, case.id)

    def _choose_map(self, section_map: "SectionMap") -> None:
        case = self._case
        if case is None:
            return

        def change(session: "Session") -> ChangeSet:
            from kbapp.app.board import BoardWork

            return BoardWork(session, case.id).choose_map(section_map)

        def done(changes: ChangeSet) -> None:
            self.head.kept.say("recorded")
            if has_screen("split"):
                self.context.go("split", case.id)
            self._show_done(changes.cases[0])

        self.context.book.change(self, change, done, self._failed)

    def next_call(self) -> None:
        """Begins another call; one half written stays as a draft and is offered."""
        unfinished = not self.sheet().blank
        if self.stack.currentWidget() is self.done or unfinished:
            self.drafts.flush()
            self.drafts.leave()
            self.drafts.begin()
            self._clear()
        self.stack.setCurrentWidget(self.sided)
        for button in (self.record_button, self.clear_button):
            button.show()
        self.head.kept.clear()
        self.notes.put(None)
        self.first().setFocus()
        if unfinished:
            self.drafts.search()

    def _clear(self) -> None:
        self._put(TriageSheet())

    def _put(self, sheet: TriageSheet) -> None:
        for widget in (self.form, self.questions):
            widget.blockSignals(True)
        known = {question_words(name): name for name in QUESTION_WORDS}
        self.form.put(sheet)
        self.questions.put_answers(
            {known[item.question]: item.answer for item in sheet.answers if item.question in known}
        )
        for widget in (self.form, self.questions):
            widget.blockSignals(False)
        self.kin.stop()
        self.visits.forget()
        self.visit_place.put(None)
        self._show_kin(())
        self._concern_moved()
        self._count_codes()

    # -- drafts of before

    def _offer(self, found: list[tuple[str, str]]) -> None:
        self._offered = found
        if self._recording or not self.sheet().blank or not found or self.stack.currentWidget() is self.done:
            return
        draft_key, text = found[0]
        sheet = sheet_of_draft(text)
        take = Button(self.context.theme, _("Go on with it"), "primary")
        drop = Button(self.context.theme, _("Throw it away"), "danger")
        take.clicked.connect(partial(self._take_up, draft_key, text, sheet))
        drop.clicked.connect(partial(self._throw_away, draft_key))
        fact = ngettext(
            "{n} call was written and never recorded", "{n} calls were written and never recorded", len(found)
        )
        begins = " ".join((sheet.concern or sheet.private.customer or sheet.vehicle.family).split())[:120]
        hint = _("It begins: {words}").format(words=begins)
        self.notes.put(Note(self.context.theme, "concern", "info", fact.format(n=len(found)), hint, [take, drop]))

    def _take_up(self, draft_key: str, text: str, sheet: TriageSheet, _on: bool = False) -> None:  # noqa: FBT001, FBT002
        self.drafts.take_up(draft_key, text)
        self.notes.put(None)
        self._put(sheet)
        self.kin.ask(question_of_call(sheet))
        self.form.concern.setFocus()

    def _throw_away(self, draft_key: str, _on: bool = False) -> None:  # noqa: FBT001, FBT002
        self.drafts.throw_away(draft_key)
        self.notes.put(None)
        self._offer([item for item in self._offered if item[0] != draft_key])

    # -- the frame's questions

    def first(self) -> QWidget:
        """Returns the first field, or what follows the call."""
        return self.done.first() if self.stack.currentWidget() is self.done else self.form.first()

    def panes(self) -> tuple[QWidget, ...]:
        """Returns caller, concern, questions and the list of cases."""
        asked = self.questions.first() or self.form.concern
        return (self.form.first(), self.form.concern, asked, self.kin_list, self.done.kin)

    def closing(self) -> None:
        """Keeps what is written."""
        self.drafts.leave()

    def keep(self) -> dict[str, object]:
        """Returns the widths of the panes."""
        sizes = self.sided.sizes()
        return {"panes": sizes} if sizes else {}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes over the widths of the panes."""
        self.sided.set_sizes(kept.get("panes"))


def _names(session: "Session") -> "tuple[VehicleNames, PartNames]":
    return session.vehicle_names(), session.part_names()
