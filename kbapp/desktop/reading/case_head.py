"""The head of a case: title and mark, then its facts on ruled lines."""

from dataclasses import dataclass

from PySide6.QtCore import QSize
from PySide6.QtGui import QFont, QResizeEvent
from PySide6.QtWidgets import QSizePolicy

from kbapp.app.views import CaseView
from kbapp.desktop.look_first.results import one_line
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.stamp import Stamp, draw_stamp, stamp_width, state_stamp
from kbapp.desktop.paint.wrapped import places, wrap
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _
from kbapp.lookup.question import Passage
from kbapp.records.case import Case
from kbapp.wording.case_words import moment_words, plain_words, signed_words, vehicle_words

LONGEST_TITLE = 60


Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class HeadRow:
    """A fact: its label, its words, whether they are set small, and the spans that matched the question."""

    label: str
    words: str
    small: bool = False
    spans: tuple[Span, ...] = ()


def case_title(case: Case) -> str:
    """Returns number and short name of a case: its first symptom, or the beginning of the concern."""
    short = case.concern.symptoms[0] if case.concern.symptoms else one_line(case.concern.text)
    if len(short) > LONGEST_TITLE:
        short = short[: LONGEST_TITLE - 1].rsplit(" ", 1)[0] + "…"
    return f"{case.number}  {plain_words(short)}" if case.number else plain_words(short)


def head_rows(view: CaseView, passages: tuple[Passage, ...] = ()) -> tuple[HeadRow, ...]:
    """Returns the facts of a case that are known, in the order they are read, with what matched marked."""
    case = view.case
    codes = ", ".join(" ".join(filter(None, (code.code, code.status, code.module))) for code in case.codes)
    began = ", ".join(filter(None, (case.concern.began, moment_words(case.concern.since))))
    concern, cause = case.concern.text, _cause(case)
    rows = (
        HeadRow(_("Vehicle"), vehicle_words(case.vehicle)),
        HeadRow(_("Concern"), concern, small=True, spans=spans_in(concern, "concern", passages)),
        HeadRow(_("Cause"), cause, spans=spans_in(cause, "cause", passages)),
        HeadRow(_("Correction"), case.correction.text if case.correction else ""),
        HeadRow(_("Signed"), signed_words(case, signed_here=view.signed_here)),
        HeadRow(_("Withdrawn"), case.withdrawn_reason),
        HeadRow(_("Began"), began, small=True),
        HeadRow(_("Codes"), codes, small=True),
    )
    return tuple(row for row in rows if row.words)


def spans_in(text: str, field: str, passages: tuple[Passage, ...]) -> tuple[Span, ...]:
    """Returns where in a field's whole text its passages matched; none where a passage is not found in it."""
    found: list[Span] = []
    for passage in passages:
        at = text.find(passage.text) if passage.field == field and passage.text else -1
        if at >= 0:
            found.extend((start + at, end + at) for start, end in passage.spans)
    return tuple(found)


def _cause(case: Case) -> str:
    if case.cause is None:
        return _("not found yet")
    if not case.cause.separated:
        return _("{cause} (several changes at once, not separated)").format(cause=case.cause.text)
    return case.cause.text


class CaseHead(Painted):
    """Paints title, mark and facts; grows with the words."""

    def __init__(self, theme: Theme) -> None:
        self._title = ""
        self._rows: tuple[HeadRow, ...] = ()
        self._stamp: Stamp | None = None
        super().__init__(theme)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_case(self, view: CaseView, passages: tuple[Passage, ...] = ()) -> None:
        """Shows another case."""
        self._title = case_title(view.case)
        self._rows = head_rows(view, passages)
        self._stamp = state_stamp(view.case.state, signed_here=view.signed_here)
        self.setAccessibleName(f"{self._title}. {self._stamp.word}")
        self.setAccessibleDescription("\n".join(f"{row.label}: {row.words}" for row in self._rows))
        self.relook()

    def rows(self) -> tuple[HeadRow, ...]:
        """Returns the facts shown."""
        return self._rows

    def relook(self) -> None:
        """Takes over fonts and height."""
        self._fit()
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Grows with the words at the new width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        titles, rows = self._broken(self.width())
        pitch = self.look.metrics.pitch
        self.setFixedHeight(round(pitch * 1.25) * len(titles) + pitch * sum(len(lines) for _row, lines in rows) + 8)

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes the pane wider."""
        return QSize(200, self.height())

    def _label_width(self) -> float:
        small = self.look.measure(self.look.font("small"))
        return max((small.horizontalAdvance(row.label) for row in self._rows), default=0.0) + 14

    def _broken(self, width: int) -> tuple[tuple[str, ...], list[tuple[HeadRow, tuple[str, ...]]]]:
        look, pad = self.look, self.look.metrics.pad + 2
        mark = stamp_width(look, self._stamp) + 18 if self._stamp else 0.0
        titles = wrap(look, self._title, look.slab("head"), width - 2 * pad - mark)
        room = width - 2 * pad - self._label_width()
        return titles, [(row, wrap(look, row.words, self._font(row), room)) for row in self._rows]

    def _font(self, row: HeadRow) -> QFont:
        return self.look.font("small" if row.small else "body", figures=True)

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the head."""
        look, pad, pitch = self.look, self.look.metrics.pad + 2, self.look.metrics.pitch
        ink.fill(0, 0, width, height, "page")
        titles, rows = self._broken(width)
        top = 4.0
        if self._stamp:
            draw_stamp(ink, width - pad - 3, top + pitch * 0.7, self._stamp, right=True)
        for title in titles:
            ink.text(pad, top, title, look.slab("head"), height=pitch * 1.25)
            top += round(pitch * 1.25)
        left = pad + self._label_width()
        for row, lines in rows:
            ink.text(pad, top, row.label, look.font("small"), "ink2", height=pitch)
            for start, line in zip(places(row.words, lines), lines, strict=True):
                self._line(ink, left, top, line, start, row)
                top += pitch
            ink.across(pad, width - pad, top - 1)

    def _line(self, ink: Ink, left: float, top: float, line: str, start: int, row: HeadRow) -> None:
        font, pitch = self._font(row), self.look.metrics.pitch
        for first, last in row.spans:
            a, b = max(first - start, 0), min(last - start, len(line))
            if a < b:
                x, wide = left + ink.width(line[:a], font), ink.width(line[a:b], font)
                ink.fill(x - 1, top + 2, wide + 2, pitch - 5, "select")
                ink.fill(x - 1, top + pitch - 4, wide + 2, 2, "accent")
        ink.text(left, top, line, font, height=pitch)
