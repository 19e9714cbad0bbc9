"""Hide the answer: what came in, what was chosen and what came of it; tests and parts to choose from."""

from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from kbapp.desktop.ledger.band import Band
from kbapp.desktop.ledger.wrapped_lines import WrappedLines
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _, ngettext
from kbapp.isolation.lesson import Lesson
from kbapp.isolation.lesson_offers import PartOffer
from kbapp.records.section_map import NOT_ON_MAP
from kbapp.wording.case_words import entry_details, entry_title, vehicle_words
from kbapp.wording.map_names import MapNames, minutes, money, percent
from kbapp.wording.retrace_sheets import move_words


@dataclass(frozen=True, slots=True)
class _Parts:
    """Keys of the lines of the choosing list."""

    test: str = "test:"
    part: str = "part:"


KEYS = _Parts()


class LessonPage(QWidget):
    """Plays one lesson. ``compared`` is sent with the lesson when it is solved or given up; ``left`` to go back."""

    compared = Signal(object)
    left = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.lesson: Lesson | None = None
        self._currency, self._shown = "", False
        self.story_head, self.story = self._pane(_("What is known"))
        self.choice_head, self.choices = self._pane(_("What will you do?"))
        self.choices.opened.connect(self._choose)
        self.do_button = Button(theme, _("Do this"), "primary", "tick")
        self.known_button = Button(theme, _("What is still possible?"), "plain", "split")
        self.answer_button = Button(theme, _("Show the answer"), "plain")
        self.back_button = Button(theme, _("Another case"), "quiet", "left")
        self.do_button.clicked.connect(lambda: self._choose(self.choices.currentIndex().row()))
        self.known_button.clicked.connect(self._show_known)
        self.answer_button.clicked.connect(self._give_up)
        self.back_button.clicked.connect(self.left)
        self._lay_out()

    def _pane(self, title: str) -> tuple[SectionHead, WrappedLines]:
        return SectionHead(self._theme, title), WrappedLines(self._theme, title)

    def _lay_out(self) -> None:
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        for head, lines in ((self.story_head, self.story), (self.choice_head, self.choices)):
            pane = QWidget()
            column = QVBoxLayout(pane)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(0)
            column.addWidget(head)
            column.addWidget(lines, 1)
            self.split.addWidget(pane)
        self.foot = Band(self._theme, (self.do_button, self.known_button, self.answer_button, self.back_button))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.split, 1)
        column.addWidget(self.foot)

    # -- playing

    def play(self, lesson: Lesson, currency: str) -> None:
        """Begins a lesson, or goes on with one."""
        self.lesson, self._currency, self._shown = lesson, currency, False
        self._show()
        self.choices.setFocus()

    def _choose(self, row: int) -> None:
        rows = self.choices.lines.rows
        if self.lesson is None or not 0 <= row < len(rows):
            return
        key = rows[row].key
        if key.startswith(KEYS.test):
            self.lesson = self.lesson.run(key.removeprefix(KEYS.test))
        else:
            self.lesson = self.lesson.fit(key.removeprefix(KEYS.part))
        if self.lesson.solved:
            self.compared.emit(self.lesson)
        else:
            self._show()

    def _give_up(self) -> None:
        if self.lesson is not None:
            self.compared.emit(self.lesson)

    def _show_known(self) -> None:
        self._shown = not self._shown
        self._show()

    def _show(self) -> None:
        lesson = self.lesson
        if lesson is None:
            return
        with_map = lesson.model is not None
        self.known_button.setVisible(with_map)
        self.known_button.setText(_("Hide what is possible") if self._shown else _("What is still possible?"))
        tests, parts = len(lesson.tests), len(lesson.parts)
        self.choice_head.set_text(
            _("What will you do?"),
            _("{tests}, {parts}").format(
                tests=ngettext("{n} test", "{n} tests", tests).format(n=tests),
                parts=ngettext("{n} part", "{n} parts", parts).format(n=parts),
            ),
        )
        told, moves = self._told(lesson), self._moves(lesson)
        known = self._known(lesson) if self._shown else []
        self.story.show_rows([*told, *moves, *known], current=len(told) + len(moves) - 1 if moves or known else 0)
        self.choices.show_rows(self._offers(lesson))
        self.foot.fit()

    def _told(self, lesson: Lesson) -> list[TitleLine]:
        case = lesson.case
        rows = [TitleLine("concern", case.concern.text, vehicle_words(case.vehicle), "concern")]
        if case.codes:
            codes = ", ".join(" ".join(filter(None, (code.code, code.status))) for code in case.codes)
            rows.append(TitleLine("codes", _("Trouble codes: {codes}").format(codes=codes), "", "note"))
        return rows + [TitleLine(e.id, entry_title(e), entry_details(e), e.kind) for e in lesson.triage]

    def _moves(self, lesson: Lesson) -> list[TitleLine]:
        return [TitleLine(f"move {n}", *move_words(lesson, move), move.kind) for n, move in enumerate(lesson.moves, 1)]

    def _known(self, lesson: Lesson) -> list[TitleLine]:
        if lesson.model is None:
            return []
        names = MapNames(lesson.model.section_map)
        return [
            TitleLine(section, _("{section}: {share}").format(section=names.section(section), share=percent(share)),
                      _("still possible"), "split")
            for section, share in lesson.known()
        ]  # fmt: skip

    def _offers(self, lesson: Lesson) -> list[TitleLine]:
        tests = [
            TitleLine(KEYS.test + offer.id, offer.name, minutes(offer.minutes) if offer.minutes else "", "test")
            for offer in lesson.tests
        ]
        return tests + [
            TitleLine(KEYS.part + offer.id, self._part_name(offer), self._part_cost(lesson, offer), "part")
            for offer in lesson.parts
        ]

    def _part_name(self, offer: PartOffer) -> str:
        if offer.id == NOT_ON_MAP:
            return _("Say: the fault is not on this map")
        return _("Fit: {part}").format(part=offer.name)

    def _part_cost(self, lesson: Lesson, offer: PartOffer) -> str:
        if offer.id == NOT_ON_MAP:
            return ""
        names = MapNames(lesson.model.section_map) if lesson.model is not None else None
        return ", ".join(
            filter(
                None,
                (
                    names.section(offer.section) if names and offer.section else "",
                    money(offer.cost, self._currency) if offer.cost is not None else "",
                    minutes(offer.minutes) if offer.minutes else "",
                ),
            )
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lays the two panes one above the other where they have no room side by side."""
        super().resizeEvent(event)
        wide = self.width() >= 2 * round(self._theme.look.metrics.pane * 0.8)
        self.split.setOrientation(Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical)
