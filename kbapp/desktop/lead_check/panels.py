"""What can be done with a case besides signing it, each as a panel in the place of the case, never a box in the way."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button, Kind
from kbapp.desktop.widgets.choice import Choice, TickButton
from kbapp.desktop.widgets.fields import RuledEdit, ValueEdit
from kbapp.desktop.widgets.foot import Foot
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.i18n import _
from kbapp.wording.proof_words import follow_up_words, result_words

if TYPE_CHECKING:
    from kbapp.app.people import Roster
    from kbapp.app.session import Session
    from kbapp.app.views import ChangeSet
    from kbapp.records.case import Case

Work = Callable[["Session"], "ChangeSet"]


class ActionPanel(QWidget):
    """A title, what it does, its fields, one button that does it and one that leaves it."""

    done = Signal()
    left = Signal()

    def __init__(self, theme: Theme, title: str, about: str, do: str, kind: Kind = "primary") -> None:
        super().__init__()
        self._theme = theme
        self.page = FormPage(theme, title)
        self.page.section(title, ())
        self.about = TextLabel(theme, about, "small", "ink2", wrap=True)
        self.about.setContentsMargins(12, 6, 12, 6)
        self.page.add(self.about)
        self.do_button = Button(theme, do, kind, "tick")
        self.leave_button = Button(theme, _("Leave it"), "plain")
        self.do_button.clicked.connect(self.done)
        self.leave_button.clicked.connect(self.left)
        foot = Foot(theme)
        foot.row.addWidget(self.do_button)
        foot.row.addWidget(self.leave_button)
        foot.row.addStretch()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.page, 1)
        column.addWidget(foot)
        self.setAccessibleName(title)

    def fields(self, *fields: Labelled) -> None:
        """Adds fields below each other or side by side."""
        self.page.add(FieldGrid(self._theme, fields, most=2))

    def wide(self, label: str, field: QWidget) -> Labelled:
        """Returns a field that takes a row of its own."""
        return Labelled(self._theme, label, field, wide=True)

    def text(self, label: str, value: str = "") -> RuledEdit:
        """Adds a field for running text."""
        edit = RuledEdit(self._theme, label)
        edit.setPlainText(value)
        edit.go_on.connect(self.do_button.setFocus)
        self.page.add(Inset(self._theme, edit))
        return edit

    def line(self, label: str, value: str = "") -> ValueEdit:
        """Adds a field of one line."""
        edit = ValueEdit(self._theme, label)
        edit.setText(value)
        edit.returnPressed.connect(self.do_button.setFocus)
        self.fields(Labelled(self._theme, label, edit, wide=True))
        return edit

    def first(self) -> QWidget:
        """Returns the first field."""
        return self.do_button

    def work(self, case: "Case", revision: int) -> Work:
        """Returns what the button does, on a session."""
        raise NotImplementedError


class ReasonPanel(ActionPanel):
    """One text to write, and one thing done with it."""

    def __init__(
        self, theme: Theme, title: str, about: str, do: str, label: str,
        run: "Callable[[Session, Case, int, str], ChangeSet]", kind: Kind = "primary",
    ) -> None:  # fmt: skip
        super().__init__(theme, title, about, do, kind)
        self._run = run
        self.words = self.text(label)

    def first(self) -> QWidget:
        """Returns the text."""
        return self.words

    def work(self, case: "Case", revision: int) -> Work:
        """Returns the one thing, with the text as it stands."""
        run, words = self._run, self.words.toPlainText()
        return lambda session: run(session, case, revision, words)


class CorrectPanel(ActionPanel):
    """Corrects what is written, with a reason."""

    def __init__(self, theme: Theme, case: "Case") -> None:
        super().__init__(
            theme, _("Correct"),
            _("A new revision is appended; the one before stays in the history. Where it changes what was signed "
              "(cause, correction), the case waits for the lead again."), _("Correct"),
        )  # fmt: skip
        self.concern = self.text(_("Concern"), case.concern.text)
        self.cause = self.text(_("Cause"), case.cause.text if case.cause else "")
        self.correction = self.text(_("Correction"), case.correction.text if case.correction else "")
        self.lesson = self.text(_("Lesson"), case.lesson)
        self.symptoms = self.line(_("Search words, set apart by commas"), ", ".join(case.concern.symptoms))
        self.reason = self.text(_("Why it is corrected (10 characters or more)"))

    def first(self) -> QWidget:
        """Returns the concern."""
        return self.concern

    def work(self, case: "Case", revision: int) -> Work:
        """Returns the correction."""
        from kbapp.app.aftercare import Written, corrected

        written = Written(
            self.concern.toPlainText(), self.cause.toPlainText(), self.correction.toPlainText(),
            self.lesson.toPlainText(), tuple(self.symptoms.text().split(",")),
        )  # fmt: skip
        reason = self.reason.toPlainText()
        return lambda session: session.aftercare().correct(case.id, revision, corrected(case, written), reason)


class ComebackPanel(ActionPanel):
    """The vehicle came back: with the same concern or another."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(
            theme, _("The vehicle came back"),
            _("A new case is opened for it; both name each other. This repair no longer counts in the figures."),
            _("Open the new case"),
        )  # fmt: skip
        self.same = Choice(
            theme, _("What does it do now?"), {"same": _("The same again"), "other": _("Something else")}
        )
        self.same.show_chosen("same")
        self.fields(self.wide(_("What does it do now?"), self.same))
        self.words = self.text(_("In what words?"))
        self.odometer = self.line(_("Odometer now, such as 190 500 km"))

    def first(self) -> QWidget:
        """Returns the choice."""
        return self.same.buttons["same"]

    def work(self, case: "Case", revision: int) -> Work:
        """Returns the comeback."""
        from kbapp.app.aftercare import Comeback
        from kbapp.app.case_fields import odometer_from_text

        words = self.words.toPlainText()
        same = self.same.buttons["same"].isChecked()
        told = Comeback(same, "" if same else words, odometer_from_text(self.odometer.text()), words)
        return lambda session: session.aftercare().came_back(case.id, revision, told)


class FollowUpPanel(ActionPanel):
    """A follow-up was done."""

    def __init__(self, theme: Theme, case: "Case") -> None:
        super().__init__(
            theme, _("Follow-up"), _("Ask how it is. If it came back, use The vehicle came back instead."), _("Record"),
        )  # fmt: skip
        self._places = [n for n, one in enumerate(case.follow_ups) if one.done is None]
        names = {str(n): follow_up_words(case.follow_ups[n]) for n in self._places}
        self.which = Choice(theme, _("Which one"), names)
        self.result = Choice(theme, _("How was it?"), {name: result_words(name) for name in ("good", "not reached")})
        self.result.show_chosen("good")
        if self._places:
            self.which.show_chosen(str(self._places[0]))
        self.fields(self.wide(_("Which one"), self.which), self.wide(_("How was it?"), self.result))
        self.words = self.text(_("In their words"))
        self.do_button.setEnabled(bool(self._places))

    def first(self) -> QWidget:
        """Returns the result."""
        return self.result.buttons["good"]

    def work(self, case: "Case", revision: int) -> Work:
        """Returns the follow-up."""
        place = next((int(name) for name, button in self.which.buttons.items() if button.isChecked()), -1)
        result = next((name for name, button in self.result.buttons.items() if button.isChecked()), "")
        words = self.words.toPlainText()
        return lambda session: session.aftercare().follow_up(case.id, revision, place, result, words)


class PeoplePanel(ActionPanel):
    """Who works here and who leads."""

    def __init__(self, theme: Theme, roster: "Roster", by: str) -> None:
        super().__init__(
            theme, _("People"),
            _("Initials only. On a shared PC this says who did what; it keeps nobody out. "
              "Where there is a lead, a lead changes this."), _("Keep"),
        )  # fmt: skip
        self._roster = roster
        here = roster.here
        leads = " ".join(person.initials for person in here if person.role == "lead")
        others = " ".join(person.initials for person in here if person.role != "lead")
        self.leads = self.line(_("Leads, who sign"), leads)
        self.technicians = self.line(_("Technicians"), others)
        self.own = TickButton(theme, _("A lead may sign own work (marked so)"))
        self.own.setChecked(roster.own_work)
        self.by = ValueEdit(theme, _("Changed by"))
        self.by.setText(by)
        self.fields(self.wide(_("One person alone signs own work in any case"), self.own))
        self.fields(Labelled(theme, _("Changed by"), self.by))

    def first(self) -> QWidget:
        """Returns the line of the leads."""
        return self.leads

    def keep(self) -> "Callable[[Session], None]":
        """Returns the work that keeps the people."""
        from kbapp.app.people import roster_of

        leads, technicians, own, by = (
            self.leads.text(), self.technicians.text(), self.own.isChecked(), self.by.text(),
        )  # fmt: skip
        before = self._roster

        def work(session: "Session") -> None:
            session.people().keep(roster_of(before, leads, technicians, own_work=own), by)

        return work
