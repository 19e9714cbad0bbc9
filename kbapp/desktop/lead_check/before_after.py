"""Before and after: every retest beside its baseline, place by place, with a small plot and everything that differs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPen
from PySide6.QtWidgets import QListView, QStyleOptionViewItem

from kbapp.desktop.forms.full_lines import FullLines
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.stamp import Stamp, draw_stamp, stamp_width
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import Index, LineDelegate
from kbapp.i18n import _
from kbapp.isolation.retest import Place, RetestComparison
from kbapp.wording.case_words import moment_words, plain_words
from kbapp.wording.proof_words import flags, moved_words, values_words
from kbapp.wording.terms import term

Kind = Literal["head", "place", "flag"]
PLOT_FROM = 30
"""From how many body sizes of width the plot has room."""


@dataclass(frozen=True, slots=True)
class CompareRow:
    """A retest, one of its places (with the scale its unit is plotted on), or something to be told about it."""

    kind: Kind
    words: str
    more: str = ""
    stamp: Stamp | None = None
    place: Place | None = None
    scale: tuple[float, float] | None = None

    def spoken(self) -> str:
        """Returns the line as it is read aloud."""
        if self.place is None:
            return ". ".join(filter(None, (self.words, self.stamp.word if self.stamp else "", self.more)))
        return _("{place}: before {before}, after {after}").format(
            place=self.words,
            before=values_words(self.place.before, self.place.unit),
            after=values_words(self.place.after, self.place.unit),
        )


def compare_rows(comparisons: Sequence[RetestComparison], *, separated: bool) -> tuple[CompareRow, ...]:
    """Returns the lines of every retest, in their order; ``separated`` is what the case says of its cause."""
    return tuple(row for found in comparisons for row in _rows(found, separated=separated))


def _rows(found: RetestComparison, *, separated: bool) -> Iterator[CompareRow]:
    retest, baseline = found.retest, found.baseline
    name = plain_words(baseline.test if baseline is not None else retest.test) or _("Retest")
    titled = _("{test}, as line {n}").format(test=name, n=found.line) if baseline is not None else name
    said = ", ".join(filter(None, (_outcomes(found), moment_words(retest.at), retest.by)))
    yield CompareRow("head", titled, ". ".join(filter(None, (said, retest.text))), _stamp(retest.result))
    scales = _scales(found.places)
    for place in found.places:
        yield CompareRow("place", plain_words(place.where) or _("Reading"), place=place, scale=scales.get(place.unit))
    yield from (CompareRow("flag", words) for words in flags(found, separated=separated))


def _outcomes(found: RetestComparison) -> str:
    before, after = found.baseline.outcome if found.baseline is not None else "", found.retest.outcome
    if before and after:
        return _("{before}, then {after}").format(before=plain_words(before), after=plain_words(after).lower())
    return plain_words(before or after)


def _stamp(result: str | None) -> Stamp:
    role = {"passed": "good", "failed": "danger"}.get(result or "", "untested")
    icon = {"passed": "tick", "failed": "x"}.get(result or "", "state_untested")
    words = term("retest_result", result) if result else _("No result")
    return Stamp(words, role, "single" if result in ("passed", "failed") else "dashed", icon)  # type: ignore[arg-type]


def _scales(places: Sequence[Place]) -> dict[str, tuple[float, float]]:
    """Returns the smallest and largest number of each unit, so that places of one unit share an axis."""
    found: dict[str, list[float]] = {}
    for place in places:
        numbers = [value for value in (*place.before, *place.after) if not isinstance(value, str)]
        found.setdefault(place.unit, []).extend(numbers)
    return {unit: (min(numbers), max(numbers)) for unit, numbers in found.items() if numbers}


class CompareDelegate(LineDelegate[CompareRow]):
    """Writes a retest and its places; before is an open ring, after a full disc, both on one axis."""

    margin = False

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Returns the height the words need at the width of the list, never less than a target."""
        row: CompareRow = index.data(Qt.ItemDataRole.UserRole)
        view = self.parent()
        width = view.viewport().width() if isinstance(view, QListView) else 400
        pitches = 2 if row.kind == "place" else len(self._titles(row, width)) + len(self._more(row, width))
        return QSize(100, self.theme.look.pitches(max(2, pitches)))

    def _left(self) -> float:
        metrics = self.theme.look.metrics
        return metrics.pad + 2 + metrics.icon + 10

    def _titles(self, row: CompareRow, width: float) -> tuple[str, ...]:
        look = self.theme.look
        mark = stamp_width(look, row.stamp) + 16 if row.stamp else 0.0
        font = look.font("small") if row.kind == "flag" else look.font("body", 600)
        return wrap(look, row.words, font, width - self._left() - look.metrics.pad - mark)

    def _more(self, row: CompareRow, width: float) -> tuple[str, ...]:
        look = self.theme.look
        room = width - self._left() - look.metrics.pad
        return wrap(look, row.more, look.font("small"), room) if row.more else ()

    def line(self, ink: Ink, row: CompareRow, rect: QRectF) -> None:
        """Writes a row."""
        if row.place is not None:
            self._place(ink, row, row.place, rect)
            return
        look, pitch, flag = ink.look, ink.look.metrics.pitch, row.kind == "flag"
        if flag:
            ink.fill(rect.left(), rect.top(), rect.width(), rect.height() - 1, "caution_wash")
            ink.fill(rect.left(), rect.top(), 4, rect.height() - 1, "caution")
        lines = self._titles(row, rect.width())
        more = self._more(row, rect.width())
        top = rect.top() + (rect.height() - pitch * (len(lines) + len(more))) / 2
        icon = ("guard", "caution") if flag else ("test", "ink2")
        ink.icon(rect.left() + look.metrics.pad + 2, top + pitch / 2, icon[0], icon[1])  # type: ignore[arg-type]
        if row.stamp:
            draw_stamp(ink, rect.right() - look.metrics.pad - 4, top + pitch * 0.6, row.stamp, right=True)
        for n, words in enumerate((*lines, *more)):
            head = n < len(lines) and not flag
            font = look.font("body", 600) if head else look.font("small")
            ink.text(rect.left() + self._left(), top, words, font, "ink" if n < len(lines) else "ink2", height=pitch)
            top += pitch

    def _place(self, ink: Ink, row: CompareRow, place: Place, rect: QRectF) -> None:
        look, pitch, pad = ink.look, ink.look.metrics.pitch, ink.look.metrics.pad
        left, right = rect.left() + self._left(), rect.right() - pad
        plot = rect.width() >= look.metrics.body * PLOT_FROM and row.scale is not None
        words = (right - left) * (0.58 if plot else 1.0)
        name = words * 0.32
        ink.text(left, rect.top(), row.words, look.font("body", 500), height=pitch * 2, room=name - 8)
        font, label = look.mono("small"), look.font("small")
        labels = max(ink.width(_("Before"), label), ink.width(_("After"), label)) + 8
        ink.text(left + name, rect.top(), _("Before"), label, "ink2", height=pitch)
        ink.text(left + name, rect.top() + pitch, _("After"), label, "ink2", height=pitch)
        room = words - name - labels
        before = values_words(place.before, place.unit)
        ink.text(left + name + labels, rect.top(), before, font, height=pitch, room=room)
        after = values_words(place.after, place.unit)
        used = ink.text(left + name + labels, rect.top() + pitch, after, font, height=pitch, room=room)
        moved = moved_words(place)
        if moved and used + ink.width(moved, label) + 14 < room:
            ink.text(left + words - 10, rect.top() + pitch, moved, label, "ink2", align="right", height=pitch)
        if plot and row.scale is not None:
            self._plot(ink, place, row.scale, QRectF(left + words + 10, rect.top(), right - left - words - 20,
                                                     rect.height()))  # fmt: skip

    def _plot(self, ink: Ink, place: Place, scale: tuple[float, float], rect: QRectF) -> None:
        low, high = scale
        span = (high - low) or 1.0
        size = ink.look.metrics.icon * 0.26
        painter = ink.painter
        for values, share, full in ((place.before, 0.3, False), (place.after, 0.7, True)):
            y = rect.top() + rect.height() * share
            ink.across(rect.left(), rect.right(), y, "rule_strong")
            painter.setPen(QPen(ink.look.colour("ink"), 1.6))
            painter.setBrush(ink.look.colour("ink" if full else "page"))
            for value in values:
                if not isinstance(value, str):
                    painter.drawEllipse(QPointF(rect.left() + (value - low) / span * rect.width(), y), size, size)


class BeforeAfter(FullLines[CompareRow]):
    """The lines of before and after at their full height."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, _("Before and after"), CompareRow.spoken, CompareDelegate)

    def show_comparisons(self, comparisons: Sequence[RetestComparison], *, separated: bool) -> None:
        """Shows the retests of a case."""
        self.show_rows(compare_rows(comparisons, separated=separated))
