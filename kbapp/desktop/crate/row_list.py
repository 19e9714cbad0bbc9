"""The lists of the Case Crate: heads the keyboard passes over, lines to tick, removals in their place, two sides."""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFont, QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import QListView, QStyleOptionViewItem, QWidget

from kbapp.desktop.crate.rows import Cut, Row, torn_line
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.stamp import draw_stamp
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.theme.icons import draw_icon
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import Index, LineDelegate, Lines, LinesModel

_MOST_LINES = 4


class RowModel(LinesModel[Row]):
    """Heads cannot be picked."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Row.speak, parent)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Returns whether a line can be picked."""
        if 0 <= index.row() < len(self.rows) and self.rows[index.row()].head:
            return Qt.ItemFlag.NoItemFlags
        return super().flags(index)

    def update(self, rows: tuple[Row, ...]) -> None:
        """Shows other words on the same lines, so that the list stays where it is."""
        self._rows = rows
        self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, 0))


class RowDelegate(LineDelegate[Row]):
    """Writes a row of any of the lists."""

    def __init__(self, theme: Theme, parent: QListView) -> None:
        super().__init__(theme, parent)
        self._list = parent

    def _sides(self, row: Row, width: float) -> list[tuple[str, ...]]:
        look, font = self.theme.look, self.theme.look.font("body")
        half = (width - self._side_start()) / 2 - look.metrics.pad * 2
        return [wrap(look, text, font, half)[:_MOST_LINES] for text in row.sides or ()]

    def _side_start(self) -> float:
        metrics = self.theme.look.metrics
        return metrics.margin + 4 + metrics.pad * 2 + metrics.icon * 0.9

    def height(self, row: Row) -> int:
        """Returns whole pitches: two, or as many as the longer of two sides needs."""
        if row.sides is None:
            return self.theme.look.pitches(2)
        return self.theme.look.pitches(1 + max(map(len, self._sides(row, self._list.viewport().width()))))

    def number(self, row: Row) -> str:
        """Returns the last figures of the case's number."""
        return row.number

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paints a head without margin and selection, everything else as a line."""
        row: Row = index.data(Qt.ItemDataRole.UserRole)
        if not row.head:
            super().paint(painter, option, index)
            return
        painter.save()
        ink, look, rect = Ink(painter, self.theme.look), self.theme.look, QRectF(option.rect)
        left = look.metrics.margin + 4 + look.metrics.pad
        used = ink.text(left, rect.top() + 4, row.title, look.slab("head"), height=rect.height() - 6)
        ink.text(left + used + 12, rect.top() + 5, row.remark, look.font("small", figures=True), "ink2",
                 height=rect.height() - 6, room=rect.right() - left - used - 20)  # fmt: skip
        ink.across(rect.left(), rect.right(), rect.bottom() - 2, "head_rule", 2)
        painter.restore()

    def line(self, ink: Ink, row: Row, rect: QRectF) -> None:
        """Writes a row."""
        look, pitch, pad = ink.look, ink.look.metrics.pitch, ink.look.metrics.pad
        left, right = rect.left() + look.metrics.margin + 4.0 + pad, rect.right() - pad
        if row.tick is not None:
            left += self._box(ink, left, rect.center().y(), ticked=row.tick) + pad
        if row.mark is not None:
            middle = rect.top() + pitch * 0.62 if row.sides else rect.center().y()
            right -= draw_stamp(ink, right, middle, row.mark, right=True) + pad * 2
        if row.sides is not None:
            self._write_sides(ink, row, rect, left)
            return
        top = rect.top() + 1
        if row.cut is not None:
            self._cut(ink, row.cut, left, top, right - left)
        else:
            height = pitch if row.remark else rect.height() - 2
            ink.text(left, top, row.title, look.font("body", 500), height=height, room=right - left)
        ink.text(left, rect.top() + pitch, row.remark, look.font("small", figures=True), "ink2", height=pitch * 0.9,
                 room=right - left)  # fmt: skip

    def _box(self, ink: Ink, left: float, middle: float, *, ticked: bool) -> float:
        look, side = ink.look, ink.look.metrics.icon * 0.9
        box = QRectF(left, middle - side / 2, side, side)
        ink.painter.setPen(QPen(look.colour("accent" if ticked else "rule_strong"), 1.5))
        ink.painter.setBrush(look.colour("accent" if ticked else "page"))
        ink.painter.drawRoundedRect(box, 2, 2)
        if ticked:
            draw_icon(ink.painter, "tick", box.adjusted(2, 2, -2, -2), look.colour("on_accent"), 3)
        return side

    def _cut(self, ink: Ink, cut: Cut, left: float, top: float, room: float) -> None:
        """Writes what stands before, what goes (struck through), what comes for it, and what stands after."""
        look, pitch = ink.look, ink.look.metrics.pitch
        plain, struck, put = look.font("body"), QFont(look.font("body", 600)), look.font("body", 600)
        struck.setStrikeOut(not cut.kept)
        side = look.metrics.icon * 0.8
        arrow = 0.0 if cut.kept else side + 12 + ink.width(cut.put, put)
        middle = min(ink.width(cut.text, struck) + 2, max(60.0, room - arrow))
        around = max(0.0, room - middle - arrow - 12)
        before, after = torn_line(cut.before), torn_line(cut.after)
        after_wants = ink.width(after, plain)
        before_room = min(ink.width(before, plain) + 1, max(around / 2, around - after_wants))
        measure = look.measure(plain)
        words = measure.elidedText(before, Qt.TextElideMode.ElideLeft, before_room)
        x = left + ink.text(left, top, words, plain, "ink2", height=pitch)
        x += ink.text(x, top, cut.text, struck, "ink" if cut.kept else "danger", height=pitch, room=middle)
        if cut.kept:
            ink.across(x - middle, x, top + pitch - 3, "caution", 2)
        else:
            x += 6
            ink.icon(x, top + pitch / 2, "right", "ink2", side)
            x += side + 6
            x += ink.text(x, top, cut.put, put, "good", height=pitch, room=left + room - x)
        ink.text(x, top, after, plain, "ink2", height=pitch, room=left + room - x)

    def _write_sides(self, ink: Ink, row: Row, rect: QRectF, left: float) -> None:
        look, pitch, pad = ink.look, ink.look.metrics.pitch, ink.look.metrics.pad
        ink.text(left, rect.top() + 1, row.title, look.font("small", 600), "ink2", height=pitch)
        start = rect.left() + self._side_start()
        half = (rect.right() - start) / 2
        for place, lines in enumerate(self._sides(row, rect.width())):
            bold = 600 if bool(place) == bool(row.tick) else 400
            for number, words in enumerate(lines):
                ink.text(start + place * half, rect.top() + pitch * (number + 1), words, look.font("body", bold),
                         "ink" if bold == 600 else "ink2", height=pitch * 0.95, room=half - pad)  # fmt: skip


class RowList(Lines):
    """``toggled`` is sent with the row that was ticked, by Space, Enter or a press."""

    toggled = Signal(int)

    def __init__(self, theme: Theme, name: str) -> None:
        self.lines = RowModel()
        super().__init__(theme, name)
        self.lines.setParent(self)
        self.setModel(self.lines)
        self.setItemDelegate(RowDelegate(theme, self))
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.clicked.connect(lambda index: self._toggle(index.row()))

    def _toggle(self, row: int) -> None:
        if 0 <= row < len(self.lines.rows) and self.lines.rows[row].tick is not None:
            self.toggled.emit(row)

    @property
    def current(self) -> Row | None:
        """The line that is picked."""
        row = self.currentIndex().row()
        return self.lines.rows[row] if 0 <= row < len(self.lines.rows) else None

    def show_rows(self, rows: tuple[Row, ...]) -> None:
        """Shows other rows; where they are the same lines, the list stays where it is."""
        if rows and [row.key for row in rows] == [row.key for row in self.lines.rows]:
            self.lines.update(rows)
            return
        self.lines.replace(rows)
        for place, row in enumerate(rows):
            if not row.head:
                self.pick(place)
                return

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ticks with Space and Enter."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        current = self.current
        if (event.key() == Qt.Key.Key_Space or enter) and current is not None and current.tick is not None:
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                event.ignore()
                return
            self._toggle(self.currentIndex().row())
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Gives the focus a line to stand on."""
        if not self.currentIndex().isValid():
            for place, row in enumerate(self.lines.rows):
                if not row.head:
                    self.pick(place)
                    break
        super().focusInEvent(event)

    def _leave_rest(self) -> None:
        # lines are whole pitches: what is left over below the last whole one stays page
        if self.model() is not None:
            delegate = self.itemDelegate()
            heights = (delegate.height(row) for row in self.lines.rows) if isinstance(delegate, RowDelegate) else ()
            scrolls = sum(heights) > self.height()
            self.setViewportMargins(0, 0, 0, self.height() % self.look.metrics.row if scrolls else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lays the lines out anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes the screen wider."""
        return QSize(300, 200)
