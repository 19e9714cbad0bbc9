"""What a person does with the lines of the timeline, and how they answer the guard."""

from typing import cast

from PySide6.QtCore import QObject, Signal

from kbapp.desktop.split_board.desk import BoardDesk
from kbapp.desktop.split_board.guard_rows import guard_words
from kbapp.desktop.split_board.guard_state import GuardState
from kbapp.desktop.split_board.timeline_pane import TimelinePane
from kbapp.isolation.guard_warning import Judgement
from kbapp.records.case import Attachment
from kbapp.records.timeline import Effect, PartEntry, TestEntry, TimelineEntry


class LinesHand(QObject):
    """Ties timeline, guard and desk together.

    ``form_wanted(entry, purpose)``: a line is to be corrected (``purpose``: at what it is for); ``test_wanted(test)``;
    ``files_wanted(files)``.
    """

    form_wanted = Signal(object, bool)
    test_wanted = Signal(str)
    files_wanted = Signal(object)

    def __init__(self, desk: BoardDesk, timeline: TimelinePane, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._timeline = desk, timeline
        self.state = GuardState()
        self.author = ""
        self._as_bars = False
        card, bar = timeline.card, timeline.line_bar
        timeline.picked.connect(lambda _line: self.show())
        timeline.bar.opened.connect(self.open_guard)
        card.test_wanted.connect(self._run_instead)
        card.fit_wanted.connect(self._fit_anyway)
        card.exemption_wanted.connect(self._name_exemption)
        card.closed.connect(self.close_guard)
        bar.wanted.connect(self._on_line)
        bar.effect_wanted.connect(self._effect)

    def entry(self, line: str) -> TimelineEntry | None:
        """Returns a line of the case."""
        view = self._desk.view
        entries = view.case.timeline if view is not None else ()
        return next((entry for entry in entries if entry.id == line), None)

    def files(self, line: str) -> tuple[Attachment, ...]:
        """Returns the files of a line."""
        view = self._desk.view
        files = view.case.attachments if view is not None else ()
        return tuple(file for file in files if line and file.entry == line)

    def _judgement(self) -> Judgement | None:
        return self.state.current(self._timeline.current) if self._desk.outlook is not None else None

    def set_as_bars(self, *, bars: bool) -> None:
        """Lets the guard speak in one line until it is asked."""
        self._as_bars = bars

    def show(self) -> None:
        """Shows the guard and what can be done with the current line."""
        view = self._desk.view
        if view is None:
            return
        judgement = self._judgement()
        opened = judgement is not None and self.state.opened(judgement)
        as_bar = judgement is not None and not opened and (self._as_bars or self.state.folded(judgement))
        words = guard_words(view.case, judgement, view.section_map, view.currency) if judgement is not None else None
        self._timeline.show_guard(words, self.author, as_bar=as_bar)
        line, card = self._timeline.current, self._timeline.card.words
        judged = card is not None and card.entry == line
        self._timeline.line_bar.show_entry(
            None if judged else self.entry(line), speaks=line in self.state.marks and not as_bar, card_open=judged,
            files=bool(self.files(line)),
        )  # fmt: skip

    # -- lines

    def _on_line(self, wanted: str) -> None:
        entry = self.entry(self._timeline.current)
        if entry is None:
            return
        if wanted == "correct":
            self.form_wanted.emit(entry, False)
        elif wanted == "fit" and isinstance(entry, PartEntry):
            self._desk.step(lambda work: work.fit(entry))
        elif wanted == "remove":
            self._desk.step(lambda work: work.remove(entry.id))
        elif wanted == "repeat" and isinstance(entry, TestEntry):
            self.test_wanted.emit(entry.test)
        elif wanted == "guard":
            self.open_guard()
        elif wanted == "files":
            self.files_wanted.emit(self.files(entry.id))

    def _effect(self, effect: str) -> None:
        line = self._timeline.current
        self._desk.step(lambda work: work.changed_by(line, cast("Effect", effect)))

    # -- the guard

    def _run_instead(self, test: str) -> None:
        self.close_guard()
        self.test_wanted.emit(test)

    def _fit_anyway(self, line: str, author: str, reason: str) -> None:
        self._desk.step(lambda work: work.override(line, author, reason))

    def _name_exemption(self, line: str) -> None:
        entry = self.entry(line)
        if isinstance(entry, PartEntry):
            self.form_wanted.emit(entry, True)

    def close_guard(self) -> None:
        """Folds what the guard says; its mark stays on the line."""
        judgement = self._judgement()
        if judgement is not None:
            self.state.fold(judgement)
            self.show()

    def open_guard(self) -> None:
        """Shows what the guard says in full, with the keyboard on its first way on."""
        judgement = self._judgement()
        if judgement is not None:
            self.state.open(judgement)
            self.show()
            self._timeline.card.first().setFocus()
