"""Still possible: every section with its share on one axis, its state, and the lines for and against it."""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QAbstractItemView, QStyleOptionViewItem

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.marks import draw_pattern, draw_state
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.split_board.rows import FoldedRow, PossibleRow, SectionRow, folded
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import SectionState
from kbapp.desktop.widgets.lines import Index, LineDelegate, Lines, LinesModel
from kbapp.i18n import _
from kbapp.wording.board import short_percent
from kbapp.wording.terms import term

TICKS = (0.05, 0.70)


def draw_share(ink: Ink, rect: QRectF, share: float, state: SectionState) -> None:
    """Paints a share as a bar on the common axis with its two ticks."""
    ink.across(rect.left(), rect.right(), rect.bottom(), "rule_strong")
    for tick in TICKS:
        ink.fill(rect.left() + rect.width() * tick, rect.bottom() - 4, 1, 8, "rule_strong")
    width = max(4.0, rect.width() * share)
    draw_pattern(ink, QRectF(int(rect.left()), rect.top(), int(width), rect.height()), state)


def metrics_of(row: SectionRow, bold: QFontMetricsF, small: QFontMetricsF, look: Look) -> float:
    """Returns the width of a row's words in pixels."""
    state = small.horizontalAdvance(term("section_state", row.state)) + look.metrics.icon * 0.86 + 16
    return max(bold.horizontalAdvance(row.name), state + small.horizontalAdvance(row.evidence))


class PossibleDelegate(LineDelegate[PossibleRow]):
    """Writes one section, with what lies inside it below while it is the current line."""

    margin = False
    open_section = ""
    _measured: tuple[object, object, float] = ((), None, 0.0)

    def _inside(self, row: PossibleRow, width: float) -> tuple[str, ...]:
        if not isinstance(row, SectionRow) or row.section != self.open_section or not row.inside:
            return ()
        look = self.theme.look
        words = _("Inside: {parts}").format(parts=" · ".join(row.inside))
        return wrap(look, words, look.font("small"), width - self._left(look) - look.metrics.pad)

    def _widest(self) -> float:
        """Returns the room that the longest name and evidence ask for, measured once for each list and look."""
        view, look = self.parent(), self.theme.look
        rows = view.lines.rows if isinstance(view, PossibleList) else ()
        if self._measured[0] is not rows or self._measured[1] is not look:
            bold, small = look.measure(look.font("body", 600)), look.measure(look.font("small", 600))
            wide = [metrics_of(row, bold, small, look) for row in rows if isinstance(row, SectionRow)]
            self._measured = (rows, look, max(wide, default=0.0) + 14)
        return self._measured[2]

    @staticmethod
    def _left(look: Look) -> float:
        return look.metrics.pad + 2 + look.metrics.icon * 0.66 + 10

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Returns the height of a row."""
        row: PossibleRow = index.data(Qt.ItemDataRole.UserRole)
        view = self.parent()
        width = view.viewport().width() if isinstance(view, QAbstractItemView) else 400
        pitch = self.theme.look.metrics.pitch
        return QSize(100, self.theme.look.metrics.row + pitch * len(self._inside(row, width)))

    def line(self, ink: Ink, row: PossibleRow, rect: QRectF) -> None:
        """Writes a row."""
        if isinstance(row, FoldedRow):
            self._folded(ink, row, rect)
            return
        look, metrics = ink.look, ink.look.metrics
        top, tall = rect.top(), metrics.row
        left, right = rect.left() + self._left(look), rect.right() - metrics.pad
        strip = QRectF(int(rect.left() + metrics.pad + 2), int(top + 8), round(metrics.icon * 0.66), tall - 17)
        draw_pattern(ink, strip, row.state)
        number = ink.width("100 %", look.font("body", 600, figures=True)) + 8
        names = min(max((right - left - number) * 0.5, self._widest()), right - left - number - metrics.body * 3.5)
        heavy = row.state in ("leading", "supported")
        ink.text(left, top + 2, row.name, look.font("body", 600 if heavy else 500), height=tall * 0.48, room=names - 8)
        used = draw_state(ink, left, top + tall * 0.72, row.state) + 10
        ink.text(left + used, top + tall * 0.72 - 10, row.evidence, look.font("small", figures=True), "ink2", height=20,
                 room=names - used - 6)  # fmt: skip
        bar = metrics.icon * 0.66
        axis = QRectF(left + names, top + tall / 2 - bar / 2, right - left - names - number, bar)
        if axis.width() > 20:
            draw_share(ink, axis, row.share, row.state)
        figure = look.font("body", 600 if row.share >= TICKS[0] else 400, figures=True)
        ink.text(right, top, short_percent(row.share), figure, align="right", height=tall)
        y = top + tall - 3
        for words in self._inside(row, rect.width()):
            ink.text(left, y, words, look.font("small", figures=True), "ink2", height=metrics.pitch)
            y += metrics.pitch

    def _folded(self, ink: Ink, row: FoldedRow, rect: QRectF) -> None:
        metrics = ink.look.metrics
        ink.fill(rect.left(), rect.top(), rect.width(), rect.height() - 1, "band")
        left = rect.left() + metrics.pad + 2
        ink.icon(left, rect.center().y(), "state_untested" if row.untested else "info", "ink2", metrics.icon * 0.86)
        ink.text(
            left + metrics.icon + 8, rect.top(), row.spoken(), ink.look.font("small"), "ink2", height=rect.height()
        )
        ink.icon(rect.right() - metrics.icon - metrics.pad, rect.center().y(), "down", "ink2")


class PossibleList(Lines):
    """The table on the same model as the flow. ``section_picked`` is sent when a section becomes the current line."""

    section_picked = Signal(str)

    def __init__(self, theme: Theme) -> None:
        self.lines = LinesModel[PossibleRow](lambda row: row.spoken())
        super().__init__(theme, _("Still possible"), margin=False)
        self._rows: tuple[SectionRow, ...] = ()
        self._fold = False
        self.lines.setParent(self)
        self.setModel(self.lines)
        self._delegate = PossibleDelegate(theme, self)
        self.setItemDelegate(self._delegate)
        self.picked.connect(self._picked)
        self.opened.connect(self._opened)
        self.clicked.connect(lambda index: self._opened(index.row()))

    def show_rows(self, rows: tuple[SectionRow, ...], *, fold: bool) -> None:
        """Shows other shares; the current section stays current."""
        if rows == self._rows and fold == self._fold:
            return
        self._rows, self._fold = rows, fold
        self._put()

    def refold(self, *, fold: bool) -> None:
        """Folds sections of little share, or no longer."""
        if fold != self._fold:
            self._fold = fold
            self._put()

    def _put(self) -> None:
        kept = self._delegate.open_section
        self.blockSignals(True)
        self.lines.replace(folded(self._rows, fold=self._fold))
        self.blockSignals(False)
        self.pick_section(kept if any(row.section == kept for row in self._rows) else "")

    def pick_section(self, section: str) -> None:
        """Makes a section the current line, unfolding what hides it."""
        place = self._place(section)
        if place is None and section:
            self._fold = False
            self._put()
            return
        if place is not None:
            self.pick(place)

    def _place(self, section: str) -> int | None:
        rows = enumerate(self.lines.rows)
        return next((n for n, row in rows if isinstance(row, SectionRow) and row.section == section), None)

    def _picked(self, number: int) -> None:
        row = self.lines.rows[number]
        section = row.section if isinstance(row, SectionRow) else ""
        self._delegate.open_section = section
        self.scheduleDelayedItemsLayout()
        self.viewport().update()
        self.section_picked.emit(section)

    def _opened(self, number: int) -> None:
        if 0 <= number < len(self.lines.rows) and isinstance(self.lines.rows[number], FoldedRow):
            self._fold = False
            self._put()
