"""Retest: the same test again, typed beside the readings from before, compared while one types."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.keys import action
from kbapp.desktop.lead_check.before_after import BeforeAfter
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.choice import Choice, TickButton
from kbapp.desktop.widgets.fields import RuledEdit, ValueEdit
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _
from kbapp.records.case import Case
from kbapp.records.timeline import TestEntry
from kbapp.wording.case_words import moment_words, plain_words, unit_words
from kbapp.wording.proof_words import changes_words, values_words
from kbapp.wording.terms import terms

if TYPE_CHECKING:
    from kbapp.app.proving import RetestPlan, TypedRetest

COMPARE_MS = 250


class RetestPage(Screen):
    """Takes the id of a case."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Retest"), _("The same test, the same conditions, as many repeats as before."))
        theme = context.theme
        self._case_id = ""
        self._plan: RetestPlan | None = None
        self._reading = Latest(context.tasks, self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(COMPARE_MS)
        self._timer.timeout.connect(self._compare)
        back = Button(theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.context.go("lead", self._case_id))
        self.record_button = Button(theme, _("Record the retest"), "primary", "tick")
        self.record_button.clicked.connect(self.record)
        self.head.add(back)
        self.head.add(self.record_button)
        self.page: FormPage = FormPage(theme, _("Retest"))
        self.body.addWidget(self.page, 1)
        self._chosen = ""
        self.baseline = PickOne(theme, _("Which test is repeated"), ())
        self.readings: dict[str, ValueEdit] = {}
        self.conditions: dict[str, Choice] = {}
        self._form: QWidget | None = None
        action("record", self, self.record)
        context.book.changed.connect(self._changed)

    def arrive(self, value: object) -> None:
        """Shows a case by its id."""
        if isinstance(value, str) and value:
            self._case_id = value
            self._plan = None
        self._read()

    def _read(self) -> None:
        wanted = self._case_id
        if not wanted or self.context.book.state != "open":
            return
        work = self.context.book.bound(lambda session, _control: session.proving().plan(wanted))
        self._reading.ask(work, self._show, lambda error: self.context.presenter.show(error, self.notes))

    def _changed(self, changes: ChangeSet) -> None:
        if self._case_id in changes.cases and self.isVisible():
            self._read()

    def _show(self, plan: "RetestPlan") -> None:
        fresh = self._plan is None or self._plan.view.case.id != plan.view.case.id
        same = self._plan is not None and self._plan.baselines == plan.baselines
        self._plan = plan
        case = plan.view.case
        self.head.set_remark(case_remark(case))
        if same and not fresh:
            self._compare()
            return
        self._chosen = plan.proposed
        if not plan.baselines:
            fact = _("No test from before the repair can be repeated")
            hint = _("Without a reading from before nothing can be proved: the case can only stand as not proved.")
            self.notes.put(Note(self.context.theme, "guard", "caution", fact, hint))
        else:
            self.notes.put(None)
        self.record_button.setEnabled(bool(plan.baselines))
        self._show_baseline()
        if self.isVisible() and plan.baselines:
            self.first().setFocus()

    def _choose(self, entry_id: str) -> None:
        self._chosen = entry_id
        self._show_baseline()

    def _pick_baseline(self, plan: "RetestPlan") -> PickOne:
        known = []
        for line, entry in plan.baselines:
            words = _("Line {n}: {test}").format(n=line, test=plain_words(entry.test))
            known.append((entry.id, ", ".join(filter(None, (words, moment_words(entry.at))))))
        pick = PickOne(self.context.theme, _("Which test is repeated"), known)
        pick.put(self._chosen)
        pick.done.connect(self._choose)
        return pick

    def _entry(self) -> TestEntry | None:
        if self._plan is None:
            return None
        return next((entry for _n, entry in self._plan.baselines if entry.id == self._chosen), None)

    def _show_baseline(self) -> None:
        """Builds the fields for the test that is repeated."""
        entry, theme = self._entry(), self.context.theme
        self.body.removeWidget(self.page)
        self.page.hide()
        self.page.deleteLater()
        self.page = page = FormPage(theme, _("Retest"))
        self.body.addWidget(page, 1)
        self.readings, self.conditions = {}, {}
        if entry is None or self._plan is None:
            return
        self.baseline = self._pick_baseline(self._plan)
        page.section(_("The test"), (Labelled(theme, _("Which test is repeated"), self.baseline, wide=True),))
        self._add_conditions(page, entry)
        self._add_readings(page, entry)
        self._add_result(page, entry)
        self.compare_head = SectionHead(theme, _("Before and after"))
        self.compare = BeforeAfter(theme)
        page.add(self.compare_head)
        page.add(self.compare)
        self._compare()

    def _add_conditions(self, page: FormPage, entry: TestEntry) -> None:
        theme, fields = self.context.theme, []
        for item in entry.conditions:
            words = _("{condition}, now").format(condition=item.text or plain_words(item.id))
            choice = Choice(theme, words, {"met": _("Met"), "not_met": _("Not met")})
            choice.chosen.connect(lambda _key: self._timer.start())
            choice.show_chosen("not_met" if item.met is False else "met")
            self.conditions[item.id] = choice
            before = {True: _("met before"), False: _("not met before"), None: ""}[item.met]
            field = Labelled(theme, words, choice)
            field.say(before)
            fields.append(field)
        self.same = Choice(theme, _("Conditions on the whole"), {"same": _("As before"), "other": _("Different")})
        self.same.show_chosen("same")
        self.same.chosen.connect(lambda _key: self._timer.start())
        fields.append(Labelled(theme, _("Conditions on the whole (load, temperature, road)"), self.same))
        page.section(_("Conditions"), fields, most=2)

    def _add_readings(self, page: FormPage, entry: TestEntry) -> None:
        theme, fields = self.context.theme, []
        for where in dict.fromkeys(reading.where for reading in entry.readings):
            mine = [reading for reading in entry.readings if reading.where == where]
            unit = next((reading.unit for reading in mine if reading.unit), "")
            name = plain_words(where) or _("Reading")
            edit = ValueEdit(theme, _("{place}, now").format(place=name))
            edit.textChanged.connect(lambda _text: self._timer.start())
            self.readings[where] = edit
            label = _("{place}, in {unit}").format(place=name, unit=unit_words(unit)) if unit else name
            field = Labelled(theme, label, edit)
            field.say(_("before: {values}").format(values=values_words(tuple(r.value for r in mine), unit)))
            fields.append(field)
        if fields:
            page.section(
                _("Readings now"), fields, _("repeats set apart by spaces, or by ; where there are words"), most=3
            )

    def _add_result(self, page: FormPage, entry: TestEntry) -> None:
        theme = self.context.theme
        from kbapp.app.proving import map_outcomes

        plan = self._plan
        known = map_outcomes(plan.section_map, plan.view.case, entry.test) if plan is not None else ()
        self.outcome: Choice | ValueEdit
        if known:
            self.outcome = Choice(theme, _("Outcome now"), dict(known))
            for outcome_id, name in known:
                self.outcome.buttons[outcome_id].setAccessibleName(_("Outcome now: {outcome}").format(outcome=name))
            self.outcome.chosen.connect(lambda _value: self._timer.start())
        else:
            self.outcome = ValueEdit(theme, _("Outcome now"))
            self.outcome.textChanged.connect(lambda _text: self._timer.start())
        self.result = Choice(theme, _("How it came out"), dict(terms("retest_result")))
        self.result.chosen.connect(lambda _key: self._timer.start())
        outcome = Labelled(theme, _("Outcome now"), self.outcome)
        if entry.outcome:
            outcome.say(_("before: {values}").format(values=plain_words(entry.outcome)))
        page.section(_("Result"), (outcome, Labelled(theme, _("How it came out"), self.result)), most=2)
        self.by = ValueEdit(theme, _("By"))
        info = self.context.book.info
        self.by.setText(info.author if info else "")
        self.one_job = TickButton(theme, _("These changes are one job"))
        self.one_job.clicked.connect(lambda _on=False: self._timer.start())
        self.job = Labelled(theme, _("Several changes before this retest"), self.one_job)
        page.add(FieldGrid(theme, (Labelled(theme, _("By"), self.by), self.job), most=2))
        self.words = RuledEdit(theme, _("Anything else (drive, duration)"))
        self.words.go_on.connect(self.record_button.setFocus)
        page.add(Inset(theme, self.words))

    def _typed(self) -> "TypedRetest":
        from kbapp.app.proving import TypedRetest

        outcome = _ticked(self.outcome) if isinstance(self.outcome, Choice) else self.outcome.text()
        return TypedRetest(
            self._chosen,
            tuple((where, edit.text()) for where, edit in self.readings.items()),
            tuple((name, choice.buttons["met"].isChecked()) for name, choice in self.conditions.items()),
            outcome,
            _ticked(self.result),
            self.same.buttons["same"].isChecked(),
            self.words.toPlainText(),
            self.by.text(),
            self.one_job.isChecked(),
        )

    def _compare(self) -> None:
        """Shows the comparison as it is typed, or those that are recorded."""
        plan = self._plan
        if plan is None or self._entry() is None:
            return
        from kbapp.app.proving import preview

        typed = self._typed()
        found = preview(plan.view.case, typed, typed.by)
        shown = found if found is not None else next(iter(plan.done), None)
        changes = shown.changes if shown is not None else ()
        several = len(changes) > 1
        self.job.setVisible(several)
        self.job.say(changes_words(changes) if several else "")
        rows = (found,) if found is not None else plan.done
        self.compare.show_comparisons(rows, separated=typed.one_job)
        title = _("Before and after") if found is not None else _("Recorded so far")
        self.compare_head.set_text(title, "" if rows else _("shown when the result is chosen"))

    def record(self) -> None:
        """Records what is typed; it stays where something is missing."""
        plan = self._plan
        if plan is None or self._entry() is None:
            return
        typed, case_id, revision = self._typed(), plan.view.case.id, plan.view.revision

        def done(_changes: ChangeSet) -> None:
            self._plan = None
            self.head.kept.say("recorded")
            self.context.go("lead", case_id)

        self.context.book.change(
            self, lambda session: session.proving().record(case_id, revision, typed), done,
            lambda error: self.context.presenter.show(error, self.notes),
        )  # fmt: skip

    def first(self) -> QWidget:
        """Returns the first reading, else the test."""
        return next(iter(self.readings.values()), self.baseline)

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the form and the comparison."""
        return (self.first(), self.compare) if self._entry() is not None else (self.record_button,)


def _ticked(choice: Choice) -> str:
    return next((name for name, button in choice.buttons.items() if button.isChecked()), "")


def case_remark(case: Case) -> str:
    """Returns which case a page is about."""
    concern = " ".join(case.concern.text.split())
    return _("Case {number}: {concern}").format(number=case.number or case.id[:8], concern=concern)
