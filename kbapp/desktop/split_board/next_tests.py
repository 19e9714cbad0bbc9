"""Next test: one ranking, named, with minutes, missing kit, substitutes, and what each outcome would tell."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from PySide6.QtCore import QRectF, Signal

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.split_board.fitted import FittedLines, OpenDelegate
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.lines import LinesModel
from kbapp.i18n import _
from kbapp.isolation.advice import Advice
from kbapp.isolation.ranking import NextTest
from kbapp.wording.board import cautions_of, figure_of, outcome_words, remarks_of, way_minutes
from kbapp.wording.map_names import MapNames

FIRST_SHOWN: Final = 3


@dataclass(frozen=True, slots=True)
class OutcomeLine:
    """What one outcome would tell: its name with its chance, then what leads after it."""

    name: str
    then: str
    role: Role


@dataclass(frozen=True, slots=True)
class NextRow:
    """A test that could be run: name, minutes, figure, remarks, outcomes."""

    test: str
    name: str
    minutes: str
    figure: str
    remark: str
    remarks: tuple[str, ...]
    outcomes: tuple[OutcomeLine, ...]
    ready: bool
    cautions: str = ""

    def spoken(self) -> str:
        """Returns the row as it is read aloud."""
        tells = (f"{outcome.name}: {outcome.then}" for outcome in self.outcomes)
        return ". ".join(filter(None, (self.name, self.minutes, self.figure, *self.remarks, *tells)))


def next_rows(advice: Advice, currency: str) -> tuple[NextRow, ...]:
    """Returns the tests in the order of the ranking."""
    names = MapNames(advice.section_map)
    return tuple(_row(advice, test, names, currency) for test in advice.ranking.tests)


def alone(row: NextRow) -> NextRow:
    """Returns a row with its first remark alone, for where cautions and ways stand below it."""
    return replace(row, remarks=row.remarks[:1])


def _row(advice: Advice, test: NextTest, names: MapNames, currency: str) -> NextRow:
    way = test.way
    remarks = tuple(remarks_of(test, names))
    name = way.test.name
    if way.substitute is not None:
        name = _("{substitute} (instead of: {test})").format(substitute=way.substitute.name, test=way.test.name)
    return NextRow(
        way.test.id, name, way_minutes(way), figure_of(test, advice.ranking.by, currency),
        remarks[0] if remarks else "", remarks, tuple(_outcomes(advice, test, names)), test.choice.ready,
        cautions_of(way),
    )  # fmt: skip


def _outcomes(advice: Advice, test: NextTest, names: MapNames) -> Iterator[OutcomeLine]:
    hypotheses = advice.picture.model.hypotheses
    for view in test.outcomes:
        best = max(range(len(hypotheses)), key=lambda n: float(view.shares[n]))
        role: Role = "supported" if float(view.shares[best]) >= 0.7 else "leading"
        name, then = outcome_words(
            names.outcome(test.way.test.id, view.outcome), view.probability, names.section(hypotheses[best]),
            float(view.shares[best]),
        )  # fmt: skip
        yield OutcomeLine(name, then, role)


class NextDelegate(OpenDelegate[NextRow]):
    """Writes a test; the open one with all its remarks and a line an outcome."""

    def height(self, row: NextRow) -> int:
        """Returns two ruled lines."""
        return max(self.theme.look.pitches(2), self.theme.look.metrics.row)

    def _left(self) -> float:
        metrics = self.theme.look.metrics
        return metrics.pad + 2 + metrics.icon + 10

    def _remarks(self, row: NextRow) -> tuple[str, ...]:
        look = self.theme.look
        room = self.width() - self._left() - look.metrics.pad
        figure = look.measure(look.font("small", figures=True)).horizontalAdvance(row.figure) + 12
        lines: list[str] = []
        for n, remark in enumerate(row.remarks):
            lines.extend(wrap(look, remark, look.font("small"), room - (figure if n == 0 else 0)))
        return tuple(lines)

    def open_height(self, row: NextRow) -> int:
        """Returns room for remarks and outcomes."""
        lines = 1 + max(1, len(self._remarks(row))) + len(row.outcomes)
        return self.theme.look.pitches(lines) + 4

    def line(self, ink: Ink, row: NextRow, rect: QRectF) -> None:
        """Writes a row."""
        look, metrics = ink.look, ink.look.metrics
        pitch, top = metrics.pitch, rect.top() + 1
        left, right = rect.left() + self._left(), rect.right() - metrics.pad
        opened = rect.height() > self.height(row) + 1 or self._is_open(row)
        ink.icon(rect.left() + metrics.pad + 2, top + pitch / 2 + 2, "test" if row.ready else "unable",
                 "accent" if opened else "ink2")  # fmt: skip
        used = ink.text(right, top, row.minutes, look.font("body", 600, figures=True), align="right", height=pitch)
        ink.text(left, top, row.name, look.font("body", 600), height=pitch, room=right - left - used - 10)
        used = ink.text(right, top + pitch, row.figure, look.font("small", figures=True), "ink2", align="right",
                        height=pitch * 0.9)  # fmt: skip
        if not opened:
            ink.text(left, top + pitch, row.remark, look.font("small"), "ink2", height=pitch * 0.9,
                     room=right - left - used - 10)  # fmt: skip
            return
        y = top + pitch
        for words in self._remarks(row):
            ink.text(left, y, words, look.font("small"), "ink2", height=pitch * 0.9)
            y += pitch
        self._outcomes(ink, row, left, right, max(y, top + 2 * pitch))

    def _is_open(self, row: NextRow) -> bool:
        view = self.parent()
        rows = view.lines.rows if isinstance(view, NextList) else ()
        return 0 <= self.open_row < len(rows) and rows[self.open_row] is row

    def _outcomes(self, ink: Ink, row: NextRow, left: float, right: float, top: float) -> None:
        look, pitch = ink.look, ink.look.metrics.pitch
        side = look.metrics.icon * 0.8
        for outcome in row.outcomes:
            font = look.font("small", 600)
            used = ink.text(left, top, outcome.name, font, height=pitch, room=(right - left) * 0.58)
            ink.icon(left + used + 5, top + pitch / 2, "right", "ink2", side, 2)
            x = left + used + side + 10
            ink.text(x, top, outcome.then, look.font("small", figures=True), outcome.role, height=pitch, room=right - x)
            top += pitch


class NextList(FittedLines):
    """The ranking. ``wanted`` is sent with a test that is to be run (Enter, double click)."""

    wanted = Signal(str)

    def __init__(self, theme: Theme) -> None:
        self.lines = LinesModel[NextRow](NextRow.spoken)
        super().__init__(theme, _("Next test"))
        self._rows: tuple[NextRow, ...] = ()
        self._all = False
        self.lines.setParent(self)
        self.setModel(self.lines)
        self.setItemDelegate(NextDelegate(theme, self))
        self.picked.connect(self.unfold)
        self.opened.connect(lambda row: self.wanted.emit(self.lines.rows[row].test))

    @property
    def current(self) -> str:
        """The test of the current line, or of the first one."""
        rows = self.lines.rows
        n = self.currentIndex().row()
        return rows[n if 0 <= n < len(rows) else 0].test if rows else ""

    @property
    def hidden(self) -> int:
        """How many tests are not shown."""
        return len(self._rows) - len(self.lines.rows)

    def show_rows(self, rows: tuple[NextRow, ...]) -> None:
        """Shows another ranking: its first lines, with the best one open."""
        self._rows = rows
        self._put()

    def show_all(self, *, every: bool) -> None:
        """Shows every test, or only the first ones."""
        self._all = every
        self._put()

    def _put(self) -> None:
        self.lines.replace(self._rows if self._all else self._rows[:FIRST_SHOWN])
        self.unfold(0 if self._rows else -1)
        self.fit()
