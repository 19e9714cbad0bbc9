"""The drawn timeline: numbered lines that grow with their words, in the order things happened."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QListView, QSizePolicy, QStyleOptionViewItem

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.stamp import draw_stamp, stamp_width
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.reading.timeline import TimelineRow
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import Index, LineDelegate, Lines, LinesModel
from kbapp.i18n import _


class TimelineDelegate(LineDelegate[TimelineRow]):
    """Writes one line: icon, title and mark, then readings and words with the time at the right."""

    def number(self, row: TimelineRow) -> str:
        """Returns the line's number."""
        return str(row.number)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Returns the height the words need at the width of the list."""
        row: TimelineRow = index.data(Qt.ItemDataRole.UserRole)
        view = self.parent()
        width = view.viewport().width() if isinstance(view, QListView) else 400
        title, readings, details = self._broken(row, width)
        pitches = max(2, len(title) + len(readings) + len(details) + self._mark_below(row, width))
        return QSize(100, self.theme.look.pitches(pitches))

    def _left(self) -> float:
        metrics = self.theme.look.metrics
        return metrics.margin + 14 + metrics.icon + 10

    def _when(self, row: TimelineRow) -> str:
        return _("{when} · reported").format(when=row.when) if row.reported else row.when

    def _broken(self, row: TimelineRow, width: float) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
        look = self.theme.look
        right = width - look.metrics.pad - 4
        room = right - self._left()
        mark = 0.0 if self._mark_below(row, width) or row.stamp is None else stamp_width(look, row.stamp) + 12
        title = wrap(look, row.title, look.font("body", 600 if row.bold else 400), room - mark)
        readings = wrap(look, row.readings, look.mono("small"), room) if row.readings else ()
        details = wrap(look, row.details, look.font("small"), room) if row.details else ()
        when = self._when(row)
        return title, readings, (*details, when) if when else details

    def _mark_below(self, row: TimelineRow, width: float) -> bool:
        """Returns whether the mark leaves the title so little room that it stands on a line of its own."""
        room = width - self.theme.look.metrics.pad - 4 - self._left()
        return row.stamp is not None and stamp_width(self.theme.look, row.stamp) + 12 > room * 0.55

    def line(self, ink: Ink, row: TimelineRow, rect: QRectF) -> None:
        """Writes a row."""
        look, pitch = ink.look, ink.look.metrics.pitch
        title, readings, details = self._broken(row, rect.width())
        left, right, top = self._left(), rect.right() - look.metrics.pad - 4, rect.top()
        ink.icon(look.metrics.margin + 14, top + pitch, row.icon, "ink2")
        below = self._mark_below(row, rect.width())
        if row.stamp and not below:
            draw_stamp(ink, right, top + pitch * 0.62, row.stamp, right=True)
        for line in title:
            ink.text(left, top, line, look.font("body", 600 if row.bold else 400), height=pitch)
            top += pitch
        if row.stamp and below:
            draw_stamp(ink, left, top + pitch * 0.55, row.stamp)
            top += pitch
        for line in readings:
            ink.text(left, top, line, look.mono("small"), height=pitch * 0.9)
            top += pitch
        words = details[:-1] if row.when else details
        for line in words:
            ink.text(left, top, line, look.font("small"), "ink2", height=pitch * 0.9)
            top += pitch
        if row.when:
            ink.text(left, top, details[-1], look.font("small", figures=True), "ink3", height=pitch * 0.9)


class TimelineList(Lines):
    """The list at its full height; the page around it scrolls."""

    def __init__(self, theme: Theme) -> None:
        self.lines = LinesModel[TimelineRow](TimelineRow.spoken)
        super().__init__(theme, _("Timeline"))
        self.lines.setParent(self)
        self.setModel(self.lines)
        self.setItemDelegate(TimelineDelegate(theme, self))
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.theme.changed.connect(self._fit)

    def show_rows(self, rows: tuple[TimelineRow, ...]) -> None:
        """Shows another timeline."""
        self.lines.replace(rows)
        self._fit()

    def _fit(self) -> None:
        delegate = self.itemDelegate()
        option = QStyleOptionViewItem()
        tall = sum(delegate.sizeHint(option, self.lines.index(n, 0)).height() for n in range(self.lines.rowCount()))
        if self.height() != tall:
            self.setFixedHeight(max(tall, 1))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Grows with the words at the new width."""
        super().resizeEvent(event)
        self._fit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leaves scrolling to the page."""
        event.ignore()
