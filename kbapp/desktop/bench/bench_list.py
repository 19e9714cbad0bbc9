"""The list of the Bench: ruled lines with a number in the margin, heads of groups that the keyboard passes over."""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import QListView, QStyleOptionViewItem, QWidget

from kbapp.desktop.bench.columns import Columns, columns
from kbapp.desktop.bench.rows import BenchLine, Cell
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.marks import draw_pattern, draw_state
from kbapp.desktop.paint.stamp import draw_stamp, stamp_width, state_stamp
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import Index, LineDelegate, Lines, LinesModel
from kbapp.i18n import _
from kbapp.records.vocabulary import STATES


def widest_mark(look: Look) -> float:
    """Returns the width of the widest stamp on the Bench: withdrawn cases are not on it."""
    return max(stamp_width(look, state_stamp(state)) for state in STATES if state != "withdrawn")


class BenchModel(LinesModel[BenchLine]):
    """Heads of groups cannot be picked."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(BenchLine.spoken, parent)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Returns whether a line can be picked."""
        row = index.row()
        if 0 <= row < len(self.rows) and self.rows[row].kind == "head":
            return Qt.ItemFlag.NoItemFlags
        return super().flags(index)

    def put(self, row: int, line: BenchLine) -> None:
        """Shows another line in the place of one."""
        self._rows = (*self._rows[:row], line, *self._rows[row + 1 :])
        self.dataChanged.emit(self.index(row, 0), self.index(row, 0))


class BenchDelegate(LineDelegate[BenchLine]):
    """Writes a line in columns, or its cells one below the other where the list is narrow."""

    def __init__(self, theme: Theme, parent: QListView) -> None:
        super().__init__(theme, parent)
        self._list = parent

    def at(self) -> Columns | None:
        """Returns where the columns stand now."""
        look = self.theme.look
        return columns(look, self._list.viewport().width(), widest_mark(look))

    def height(self, row: BenchLine) -> int:
        """Returns two pitches, or three where the cells are stacked; a head has its air above."""
        if row.kind == "head":
            return self.theme.look.pitches(2)
        return self.theme.look.pitches(2 if row.kind == "more" or self.at() is not None else 3)

    def number(self, row: BenchLine) -> str:
        """Returns the last figures of the case's number: the year stands in every one of them."""
        return row.number.rpartition("-")[2][-4:] if row.kind == "case" else ""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paints a head without margin and selection, everything else as a line."""
        row: BenchLine = index.data(Qt.ItemDataRole.UserRole)
        if row.kind != "head":
            super().paint(painter, option, index)
            return
        painter.save()
        self._head(Ink(painter, self.theme.look), row, QRectF(option.rect))
        painter.restore()

    def _head(self, ink: Ink, row: BenchLine, rect: QRectF) -> None:
        look, pad = ink.look, ink.look.metrics.pad
        left = look.metrics.margin + 4 + pad
        font = look.slab("head")
        used = ink.text(left, rect.top() + 4, row.title, font, height=rect.height() - 6)
        ink.text(left + used + 12, rect.top() + 5, row.remark, look.font("small", figures=True), "ink2",
                 height=rect.height() - 6, room=rect.right() - left - used - 20)  # fmt: skip
        ink.across(rect.left(), rect.right(), rect.bottom() - 2, "head_rule", 2)

    def line(self, ink: Ink, row: BenchLine, rect: QRectF) -> None:
        """Writes a row."""
        look = ink.look
        if row.kind == "more":
            left = look.metrics.margin + 4 + look.metrics.pad
            ink.text(left, rect.top(), row.title, look.font("body", 500), "accent", height=rect.height())
            return
        at = self.at()
        if at is None:
            self._stacked(ink, row, rect)
        else:
            self._in_columns(ink, row, rect, at)

    def _in_columns(self, ink: Ink, row: BenchLine, rect: QRectF, at: Columns) -> None:
        look, pad, top = ink.look, ink.look.metrics.pad, rect.top()
        self._pair(ink, at.case + pad, top, at.stands - pad, Cell(row.title, row.concern), bold=True)
        left = at.stands + pad
        if row.state is not None:
            strip = round(look.metrics.icon * 0.66)
            draw_pattern(ink, QRectF(int(left), int(top + 8), strip, rect.height() - 17), row.state)
            left += strip + 8
            self._state(ink, row, left, top + look.metrics.pitch, at.next - pad - left)
        self._pair(ink, left, top, at.next - pad, row.stands)
        self._pair(ink, at.next + pad, top, at.days - pad, row.next)
        ink.text(at.mark - pad, top, row.days, look.font("body", figures=True), align="right", height=rect.height() - 1)
        if row.stamp is not None:
            draw_stamp(ink, at.mark + pad, rect.center().y(), row.stamp)
        for x in (at.stands, at.next, at.days, at.mark):
            ink.fill(x, top, 1, rect.height(), "rule")

    def _state(self, ink: Ink, row: BenchLine, left: float, top: float, room: float) -> None:
        if row.state is None:
            return
        pitch, small = ink.look.metrics.pitch, ink.look.font("small", 600, figures=True)
        used = draw_state(ink, left, top + pitch * 0.45, row.state) + 8
        ink.text(left + used, top, row.share, small, height=pitch * 0.9, room=room - used)

    def _pair(self, ink: Ink, left: float, top: float, right: float, cell: Cell, *, bold: bool = False) -> None:
        look, pitch = ink.look, ink.look.metrics.pitch
        ink.text(left, top + 1, cell.first, look.font("body", 600 if bold else 400), height=pitch, room=right - left)
        ink.text(left, top + pitch, cell.second, look.font("small", figures=True), cell.role, height=pitch * 0.9,
                 room=right - left)  # fmt: skip

    def _stacked(self, ink: Ink, row: BenchLine, rect: QRectF) -> None:
        look, pitch, pad = ink.look, ink.look.metrics.pitch, ink.look.metrics.pad
        left, right, top = look.metrics.margin + 4.0 + pad, rect.right() - pad, rect.top() + 1
        mark = 0.0
        if row.stamp is not None:
            mark = draw_stamp(ink, right - 3, top + pitch * 0.62, row.stamp, right=True) + 12
        small = look.font("small", figures=True)
        ink.text(left, top, row.title, look.font("body", 600), height=pitch, room=right - left - mark)
        days = _("{n} d").format(n=row.days) if row.days else ""
        used = ink.text(right, top + pitch, days, small, "ink2", height=pitch * 0.9, align="right") + 10
        ink.text(left, top + pitch, row.concern, small, "ink2", height=pitch * 0.9, room=right - left - used)
        self._foot(ink, row, left, right, top + pitch * 1.95)

    def _foot(self, ink: Ink, row: BenchLine, left: float, right: float, top: float) -> None:
        look, pitch = ink.look, ink.look.metrics.pitch
        half = (right - left) / 2
        if row.state is not None:
            left += draw_state(ink, left, top + pitch * 0.45, row.state) + 8
        stands = " ".join(filter(None, (row.stands.first, row.share)))
        used = ink.text(left, top, stands, look.font("small", 500, figures=True), height=pitch * 0.9, room=half)
        words = " · ".join(filter(None, (row.next.first, row.next.second)))
        side = look.metrics.icon * 0.8
        if words:
            ink.icon(left + used + 8, top + pitch * 0.45, "right", "ink2", side)
        x = left + used + side + 14
        ink.text(x, top, words, look.font("small", figures=True), row.next.role, height=pitch * 0.9, room=right - x)


class BenchList(Lines):
    """``laid_out`` is sent with where the columns stand, ``case_opened`` with a line to open."""

    laid_out = Signal(object)
    case_opened = Signal(object)

    def __init__(self, theme: Theme) -> None:
        self.lines = BenchModel()
        super().__init__(theme, _("Cases on the Bench"))
        self.lines.setParent(self)
        self.setModel(self.lines)
        self._delegate = BenchDelegate(theme, self)
        self.setItemDelegate(self._delegate)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.opened.connect(lambda row: self.case_opened.emit(self.lines.rows[row]))

    @property
    def current(self) -> BenchLine | None:
        """The line that is picked."""
        row = self.currentIndex().row()
        return self.lines.rows[row] if 0 <= row < len(self.lines.rows) else None

    def show_lines(self, lines: tuple[BenchLine, ...]) -> None:
        """Shows other lines; the case that is picked stays picked."""
        before = self.current
        at = self.verticalScrollBar().value()
        self.blockSignals(True)
        self.lines.replace(lines)
        self.blockSignals(False)
        ids = [line.case_id for line in lines]
        if before is not None and before.case_id in ids:
            self.pick(ids.index(before.case_id))
            self.verticalScrollBar().setValue(at)
        else:
            self.pick_first()

    def pick_first(self) -> None:
        """Picks the first line that is no head."""
        for row, line in enumerate(self.lines.rows):
            if line.kind != "head":
                self.pick(row)
                return

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Gives the focus a line to stand on."""
        if not self.currentIndex().isValid():
            self.pick_first()
        super().focusInEvent(event)

    def _leave_rest(self) -> None:
        # heads and lines are whole pitches, in columns whole rows: what is left over below the last one stays page
        if not hasattr(self, "_delegate"):
            return
        side_by_side = self._delegate.at() is not None
        step = self.look.metrics.row if side_by_side else self.look.metrics.pitch
        scrolls = self.bottom() > self.height()
        self.setViewportMargins(0, 0, 0, self.height() % step if scrolls else 0)

    def relook(self) -> None:
        """Tells where the columns stand."""
        super().relook()
        if hasattr(self, "_delegate"):
            self.laid_out.emit(self._delegate.at())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Tells where the columns stand."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()
        self.laid_out.emit(self._delegate.at())

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes the screen wider."""
        return QSize(300, 300)
