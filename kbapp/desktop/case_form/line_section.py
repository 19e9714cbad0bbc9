"""Lines of the case: the list, buttons to add, correct, move and take out, and the form of the line being written."""

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.app.line_text import LineKind
from kbapp.desktop.case_form.line_form import LineForm
from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import Inset
from kbapp.desktop.forms.full_lines import FullLines
from kbapp.desktop.reading.timeline import TimelineRow, timeline_rows
from kbapp.desktop.reading.timeline_list import TimelineDelegate
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.i18n import N_, _, ngettext
from kbapp.records.case import Case

_ADD = {"part": N_("Part"), "test": N_("Test"), "finding": N_("Finding"), "service": N_("Service"), "note": N_("Note"),
        "retest": N_("Retest")}  # fmt: skip


class LineSection(QWidget):
    """``ready(kind, line, is_new)`` with a finished line; ``moved(id, step)``; ``removed(id)``."""

    ready = Signal(str, object, bool)
    moved = Signal(str, int)
    removed = Signal(str)

    def __init__(self, theme: Theme, title: str, kinds: tuple[LineKind, ...]) -> None:
        super().__init__()
        self._theme, self._title, self._kinds = theme, title, kinds
        self._case: Case | None = None
        self.head = SectionHead(theme, title)
        self.list: FullLines[TimelineRow] = FullLines(theme, title, TimelineRow.spoken, TimelineDelegate, margin=True)
        self.list.opened.connect(lambda _row: self.correct())
        self.list.picked.connect(lambda _row: self._enable())
        self.list.delete_wanted.connect(self._remove)
        self.list.move_wanted.connect(self._move)
        self.form = LineForm(theme)
        self.form.ready.connect(self.ready)
        self.form.left.connect(self._leave)
        self.buttons = self._buttons(theme)
        box = FlowBox()
        box.put(self.buttons.values())
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.head, self.list, Inset(theme, box), self.form):
            column.addWidget(widget)
        self._enable()

    def _buttons(self, theme: Theme) -> dict[str, Button]:
        made: dict[str, Button] = {}
        for kind in self._kinds:
            button = Button(theme, _(_ADD[kind]), "plain", "plus")
            button.setAccessibleName(_("Add a line: {kind}").format(kind=_(_ADD[kind])))
            button.clicked.connect(lambda _on=False, k=kind: self.write(k))
            made[kind] = button
        for name, words, handler in (
            ("correct", _("Correct the line"), self.correct), ("up", _("Up"), lambda: self._move(-1)),
            ("down", _("Down"), lambda: self._move(1)), ("remove", _("Take the line out"), self._remove),
        ):  # fmt: skip
            if name in ("up", "down") and self._kinds == ("retest",):
                continue
            button = Button(theme, words, "quiet")
            button.clicked.connect(lambda _on=False, run=handler: run())
            made[name] = button
        return made

    # -- showing

    def show_case(self, case: Case) -> None:
        """Shows the lines of a case; a line being written stays open."""
        self._case = case
        rows = timeline_rows(case)
        split = len(case.timeline)
        rows = rows[split:] if self._kinds == ("retest",) else rows[:split]
        self.list.show_rows(rows)
        words = ngettext("{n} line; Enter corrects one", "{n} lines; Enter corrects one", len(rows))
        self.head.set_text(self._title, words.format(n=len(rows)) if rows else _("nothing yet"))
        self._enable()

    def _ids(self) -> list[str]:
        if self._case is None:
            return []
        lines: Iterable[object] = self._case.retest if self._kinds == ("retest",) else self._case.timeline
        return [str(getattr(line, "id", "")) for line in lines]

    @property
    def current(self) -> str:
        """The id of the line one stands on, or an empty text."""
        at, ids = self.list.currentIndex().row(), self._ids()
        return ids[at] if 0 <= at < len(ids) else ""

    def _enable(self) -> None:
        for name in ("correct", "up", "down", "remove"):
            if name in self.buttons:
                self.buttons[name].setEnabled(bool(self.current))

    # -- writing

    def write(self, kind: LineKind) -> None:
        """Opens the form of a new line."""
        if self._case is not None:
            self.form.open(kind, self._case, None)

    def correct(self) -> None:
        """Opens the form of the line one stands on."""
        case, current = self._case, self.current
        if case is None or not current:
            return
        if self._kinds == ("retest",):
            retest = next(line for line in case.retest if line.id == current)
            self.form.open("retest", case, retest)
        else:
            entry = next(line for line in case.timeline if line.id == current)
            self.form.open(entry.kind, case, entry)

    def _move(self, step: int) -> None:
        current = self.current if "up" in self.buttons else ""
        at = self.list.currentIndex().row() + step
        if current and 0 <= at < len(self._ids()):
            self.list.pick(at)
            self.moved.emit(current, step)

    def _remove(self) -> None:
        if self.current:
            self.removed.emit(self.current)

    def written(self) -> None:
        """Puts the form away: its line is recorded."""
        self.form.close_form()
        self._leave()

    def _leave(self) -> None:
        (self.list if self.list.lines.rows else next(iter(self.buttons.values()))).setFocus()
