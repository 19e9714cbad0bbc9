"""Narrow by: which cases the figures are over, whose parts, and whether advice reasons with learned figures."""

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.app.ledger import Choices
from kbapp.desktop.ledger.combo import Combo
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.choice import Choice
from kbapp.desktop.widgets.foot import Foot
from kbapp.desktop.widgets.form import FormRow
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.i18n import _
from kbapp.ledger.question import LedgerQuestion
from kbapp.wording.terms import term

_APART = "\x1f"


def years_back(today: str, count: int = 12) -> list[tuple[str, str]]:
    """Returns the years to choose from, this one first."""
    this = int(today[:4])
    return [(str(year), str(year)) for year in range(this, this - count, -1)]


class FilterPage(QWidget):
    """``asked`` is sent with a changed question, ``learned`` with the switch, ``closed`` when the page is done with."""

    asked = Signal(object)
    learned = Signal(bool)
    closed = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._question = LedgerQuestion()
        self.system = Combo(theme, _("System"))
        self.symptom = Combo(theme, _("Concern"))
        self.family = Combo(theme, _("Vehicle family"))
        self.since = Combo(theme, _("Opened from"))
        self.until = Combo(theme, _("Opened until"))
        self.source = Choice(
            theme, _("Parts fitted"), {"": _("by anyone"), "own": _("by this shop"), "reported": _("by others")}
        )
        self.outside = Choice(
            theme, _("Cases of other shops"),
            {"none": _("none"), "accepted": _("accepted by your lead"), "all": _("all that are signed")},
        )  # fmt: skip
        self.switch = Choice(theme, _("Learned figures"), {"off": _("off"), "on": _("on")})
        self.done_button = Button(theme, _("Show the figures"), "primary", "tick")
        self.clear_button = Button(theme, _("All cases"), "quiet")
        self._lay_out(theme)
        self._connect()

    def _lay_out(self, theme: Theme) -> None:
        self.page = PageScroll(theme, _("Narrow by"))
        for label, control, remark in (
            (_("System"), self.system, ""),
            (_("Concern"), self.symptom, ""),
            (_("Vehicle family"), self.family, ""),
            (_("Opened from"), self.since, ""),
            (_("Opened until"), self.until, ""),
            (_("Parts fitted"), self.source, _("Parts of others are those a customer or a shop before you reported.")),
            (
                _("Cases of other shops"), self.outside,
                _("Kept for every time. A case signed elsewhere counts once your lead accepted it."),
            ),
            (
                _("Learned figures"), self.switch,
                _("Switched on, advice reasons with what your proved cases taught and says from how many."),
            ),
        ):  # fmt: skip
            self.page.add(FormRow(theme, label, control, remark))
        self.page.column.addStretch()
        foot = Foot(theme)
        foot.row.addWidget(self.done_button)
        foot.row.addWidget(self.clear_button)
        foot.row.addStretch()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(SectionHead(theme, _("Narrow by")))
        column.addWidget(self.page, 1)
        column.addWidget(foot)

    def _connect(self) -> None:
        for field in ("system", "symptom", "since", "until"):
            combo: Combo = getattr(self, field)
            combo.chosen.connect(lambda value, name=field: self._ask(**{name: value}))
        self.family.chosen.connect(self._ask_family)
        self.source.chosen.connect(lambda value: self._ask(source=value))
        self.outside.chosen.connect(lambda value: self._ask(outside=value))
        self.switch.chosen.connect(lambda value: self.learned.emit(value == "on"))
        self.done_button.clicked.connect(self.closed)
        self.clear_button.clicked.connect(lambda: self.asked.emit(LedgerQuestion(outside=self._question.outside)))

    def _ask(self, **changes: str) -> None:
        self.asked.emit(replace(self._question, **changes))  # type: ignore[arg-type]

    def _ask_family(self, value: str) -> None:
        make, _between, family = value.partition(_APART)
        self._ask(make=make, family=family)

    def show_question(self, question: LedgerQuestion, *, learned: bool) -> None:
        """Shows what is in force."""
        self._question = question
        self.source.show_chosen(question.source)
        self.outside.show_chosen(question.outside)
        self.switch.show_chosen("on" if learned else "off")
        for combo, value in (
            (self.system, question.system), (self.symptom, question.symptom), (self.since, question.since),
            (self.until, question.until), (self.family, f"{question.make}{_APART}{question.family}"),
        ):  # fmt: skip
            combo.setCurrentIndex(max(0, combo.findData(value)))

    def offer(self, choices: Choices, today: str) -> None:
        """Offers what the book holds."""
        question, every = self._question, ("", _("all"))
        self.system.offer([every, *((name, term("system", name)) for name in choices.systems)], question.system)
        self.symptom.offer([every, *((name, name) for name in choices.symptoms)], question.symptom)
        families = [(f"{make}{_APART}{family}", f"{make} {family}".strip()) for make, family in choices.families]
        self.family.offer([(_APART, _("all")), *families], f"{question.make}{_APART}{question.family}")
        self.since.offer([("", _("the beginning")), *years_back(today)], question.since)
        self.until.offer([("", _("today")), *years_back(today)], question.until)
