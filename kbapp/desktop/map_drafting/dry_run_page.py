"""The Dry Run: hide a cause, answer tests as they would come out, see shares move and whether the map isolates it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.marks import draw_pattern, draw_state
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.tasks import Latest, Tasks
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import SectionState
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import LineDelegate, Lines, LinesModel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.desktop.widgets.title_list import TitleList
from kbapp.i18n import _
from kbapp.records.section_map import SectionMap
from kbapp.wording.drafting import answered_words, not_isolated_words, verdict
from kbapp.wording.map_names import MapNames, minutes, percent
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.dry_run import DryRun, Standing


@dataclass(frozen=True, slots=True)
class ShareRow:
    """A section with its share and state."""

    name: str
    share: float
    state: SectionState

    def spoken(self) -> str:
        """Returns what the row says."""
        return f"{self.name}. {percent(self.share)}. {term('section_state', self.state)}"


class _Shares(LineDelegate[ShareRow]):
    margin = False

    def line(self, ink: Ink, row: ShareRow, rect: QRectF) -> None:
        """Writes a row."""
        look, metrics = ink.look, ink.look.metrics
        left, right = rect.left() + metrics.pad + 2, rect.right() - metrics.pad
        number = ink.width("100 %", look.font("body", 600, figures=True)) + 24
        names = (right - left - number) * 0.6
        ink.text(left, rect.top() + 1, row.name, look.font("body", 500), height=metrics.pitch, room=names - 8)
        draw_state(ink, left, rect.top() + metrics.pitch * 1.45, row.state)
        bar = metrics.icon * 0.66
        axis = QRectF(left + names, rect.center().y() - bar / 2, right - left - names - number, bar)
        ink.across(axis.left(), axis.right(), axis.bottom(), "rule_strong")
        for tick in (0.05, 0.70):
            ink.fill(axis.left() + axis.width() * tick, axis.bottom() - 4, 1, 8, "rule_strong")
        draw_pattern(ink, QRectF(axis.left(), axis.top(), max(4.0, axis.width() * row.share), bar), row.state)
        ink.text(right, rect.top(), percent(row.share), look.font("body", 600, figures=True), align="right",
                 height=rect.height() - 1)  # fmt: skip


class DryRunPage(QWidget):
    """One run. ``failed`` is sent with an error."""

    failed = Signal(object)

    def __init__(self, theme: Theme, tasks: Tasks) -> None:
        super().__init__()
        self._theme = theme
        self._asking = Latest(tasks, self)
        self.run: DryRun | None = None
        self.standing: Standing | None = None
        self.secret = False
        self._map: SectionMap | None = None
        self._left: tuple[str, ...] | None = None
        self.cause = PickOne(theme, _("Hidden cause"), ())
        self.cause.done.connect(self.hide_cause)
        self.draw_button = Button(theme, _("Hide any"), "plain")
        self.draw_button.setAccessibleName(_("Let the program hide one"))
        self.draw_button.clicked.connect(self.draw_cause)
        self.tests = TitleList(theme, _("Tests, the best next one first"))
        self.tests.picked.connect(lambda _row: self._show_outcomes())
        self.tests.opened.connect(lambda _row: self.answer_expected())
        self.outcomes = FlowBox()
        self.outcome_buttons: list[Button] = []
        self.back_button = Button(theme, _("Take the last answer back"), "quiet", "undo")
        self.back_button.clicked.connect(self.take_back)
        self.notes = NotePlace(theme)
        self.shares = LinesModel[ShareRow](lambda row: row.spoken(), self)
        self.share_list = Lines(theme, _("Shares"), margin=False, whole=True)
        self.share_list.setModel(self.shares)
        self.share_list.setItemDelegate(_Shares(theme, self.share_list))
        self._lay_out()

    def _lay_out(self) -> None:
        theme = self._theme
        left, right = QWidget(), QWidget()
        grid = FieldGrid(
            theme, [Labelled(theme, _("Hidden cause"), self.cause), Labelled(theme, "", self.draw_button)], most=2
        )
        last = FlowBox()
        for pane, widgets in (
            (left, (grid, SectionHead(theme, _("Next tests"), _("Enter answers as it would come out")), self.tests,
                    Inset(theme, self.outcomes))),
            (right, (self.notes, SectionHead(theme, _("Shares")), self.share_list, Inset(theme, last))),
        ):  # fmt: skip
            column = QVBoxLayout(pane)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(0)
            for widget in widgets:
                column.addWidget(widget, 1 if isinstance(widget, Lines) else 0)
        last.put([self.back_button])
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(left)
        self.split.addWidget(right)
        self.split.setSizes([540, 540])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.split)

    # -- the run

    def show_map(self, section_map: SectionMap) -> None:
        """Begins with the map's first section hidden."""
        self._map, self._left = section_map, None
        names = MapNames(section_map)
        self.cause.clear()
        for cause in section_map.hypotheses():
            self.cause.addItem(_("Cause: {section}").format(section=names.section(cause)), cause)
        self.cause.addItem(_("Hidden by the program"), "?")
        self.cause.put(section_map.sections[0].id)
        self._begin(section_map.sections[0].id, secret=False)

    def hide_cause(self, cause: str) -> None:
        """Begins anew with a cause hidden."""
        if cause == "?":
            self.draw_cause()
        else:
            self._begin(cause, secret=False)

    def draw_cause(self) -> None:
        """Lets the program hide a cause."""
        from kbapp.app.dry_run import hide_one

        if self._map is not None:
            self.cause.put("?")
            self._begin(hide_one(self._map), secret=True)

    def _begin(self, cause: str, *, secret: bool) -> None:
        from kbapp.app.dry_run import DryRun

        if self._map is not None:
            self.run, self.secret = DryRun(self._map, cause), secret
            self._ask()

    def answer(self, test: str, outcome: str) -> None:
        """Answers a test."""
        if self.run is not None:
            self.run.answer(test, outcome)
            self._ask()

    def answer_expected(self) -> None:
        """Answers the current test as it would come out."""
        if self.run is not None and self.tests.key:
            self.answer(self.tests.key, self.run.expected(self.tests.key))

    def take_back(self) -> None:
        """Takes the last answer back."""
        if self.run is not None and self.run.take_back():
            self._ask()

    def _ask(self) -> None:
        run, section_map, known = self.run, self._map, self._left
        if run is None or section_map is None:
            return

        def work(_control: object) -> "tuple[Standing, tuple[str, ...]]":
            from kbapp.app.dry_run import not_isolated

            return run.stand(), not_isolated(section_map) if known is None else known

        self._asking.ask(work, self._show, self.failed.emit)

    # -- showing

    def _show(self, found: "tuple[Standing, tuple[str, ...]]") -> None:
        standing, self._left = found
        run, section_map = self.run, self._map
        if run is None or section_map is None:
            return
        self.standing = standing
        names = MapNames(section_map)
        view = standing.picture
        order = sorted(zip(view.model.hypotheses, view.shares, view.states, strict=True), key=lambda row: -row[1])
        self.shares.replace([ShareRow(names.section(name), float(share), state) for name, share, state in order])
        self.tests.show_rows(
            [
                TitleLine(test.way.test.id, test.way.test.name, _("{bits} bit · {minutes}").format(
                    bits=f"{test.bits:.3f}", minutes=minutes(test.way.minutes)), "test")
                for test in standing.ranking.tests
            ]
        )  # fmt: skip
        fact, hint = verdict(run, standing, secret=self.secret)
        said = "\n".join(answered_words(answer, names) for answer in standing.answered[-3:])
        icon = "seal" if standing.isolated else "guard" if standing.exhausted else "info"
        tone = "good" if standing.isolated else "caution" if standing.exhausted else "info"
        more = not_isolated_words(section_map, self._left)
        self.notes.put(Note(self._theme, icon, tone, fact, "\n".join(filter(None, (hint, said, more)))))  # type: ignore[arg-type]
        self.back_button.setEnabled(bool(standing.answered))
        self._show_outcomes()

    def _show_outcomes(self) -> None:
        test = self._map.test(self.tests.key) if self._map is not None else None
        self.outcome_buttons = []
        if test is None or self.run is None:
            self.outcomes.put([])
            return
        likely = Button(self._theme, _("As it would come out"), "primary")
        likely.clicked.connect(self.answer_expected)
        for outcome in test.outcomes:
            button = Button(self._theme, outcome.name if len(outcome.name) < 44 else outcome.name[:42] + "…", "plain")
            button.setToolTip(_("Outcome: {name}").format(name=button.text()))
            button.setAccessibleName(_("Outcome: {name}").format(name=outcome.name))
            button.clicked.connect(lambda _on=False, t=test.id, o=outcome.id: self.answer(t, o))
            self.outcome_buttons.append(button)
        self.outcomes.put([likely, *self.outcome_buttons])
