"""Lines that are as high as their words: nothing of what is known is cut."""

from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QListView, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import LineDelegate, Lines, LinesModel
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _


def _spoken(row: TitleLine) -> str:
    return _("{title}. {remark}").format(title=row.title, remark=row.remark) if row.remark else row.title


class WrappedDelegate(LineDelegate[TitleLine]):
    """Writes the whole title and the whole remark, at least as high as a target."""

    margin = False

    def __init__(self, theme: Theme, view: QListView) -> None:
        super().__init__(theme, view)
        self._view = view

    def _left(self, row: TitleLine) -> int:
        metrics = self.theme.look.metrics
        return metrics.pad + 4 + (metrics.icon + 10 if row.icon else 0)

    def _words(self, row: TitleLine) -> tuple[tuple[str, ...], tuple[str, ...]]:
        look = self.theme.look
        room = self._view.viewport().width() - self._left(row) - look.metrics.pad
        title = wrap(look, " ".join(row.title.split()), look.font("body", 500), room)
        remark = wrap(look, " ".join(row.remark.split()), look.font("small"), room) if row.remark else ()
        return title, remark

    def height(self, row: TitleLine) -> int:
        """Returns the height of all its lines."""
        title, remark = self._words(row)
        return self.theme.look.pitches(max(2, len(title) + len(remark)))

    def line(self, ink: Ink, row: TitleLine, rect: QRectF) -> None:
        """Writes a row."""
        look = ink.look
        pitch, left, top = look.metrics.pitch, rect.left() + self._left(row), rect.top()
        if row.icon:
            ink.icon(rect.left() + look.metrics.pad + 4, top + pitch, row.icon, "ink2")
        title, remark = self._words(row)
        if len(title) + len(remark) == 1:
            top += pitch / 2
        for text in title:
            ink.text(left, top, text, look.font("body", 500), height=pitch)
            top += pitch
        for text in remark:
            ink.text(left, top, text, look.font("small"), "ink2", height=pitch * 0.9)
            top += pitch


class WrappedLines(Lines):
    """A list of titled lines, each as high as its words."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        self.lines = LinesModel[TitleLine](_spoken)
        super().__init__(theme, name, margin=False)
        self.lines.setParent(self)
        self.setModel(self.lines)
        self.setItemDelegate(WrappedDelegate(theme, self))
        self.setResizeMode(QListView.ResizeMode.Adjust)

    def show_rows(self, rows: list[TitleLine], current: int = 0) -> None:
        """Shows other lines and makes one of them current."""
        self.lines.replace(rows)
        if rows:
            self.pick(min(current, len(rows) - 1))
