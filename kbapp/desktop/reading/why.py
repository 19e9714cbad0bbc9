"""Why it matched: every named part of the score with its value; together they are the score."""

from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QListView, QSizePolicy, QStyleOptionViewItem

from kbapp.desktop.look_first.reasons import reason_short, reason_words
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import Index, LineDelegate, Lines, LinesModel
from kbapp.i18n import _
from kbapp.lookup.question import Hit


@dataclass(frozen=True, slots=True)
class WhyRow:
    """A reason in full and in short, its value, and its value against the weightiest of the hit (-1 to 1)."""

    words: str
    short: str
    value: float
    share: float

    def spoken(self) -> str:
        """Returns the reason as it is read aloud."""
        return f"{self.words}, {self.value:+.2f}"


def why_rows(hit: Hit) -> tuple[WhyRow, ...]:
    """Returns the reasons of a hit, weightiest first, those against it last."""
    best = max((abs(reason.value) for reason in hit.reasons), default=1.0) or 1.0
    ordered = sorted(hit.reasons, key=lambda reason: (reason.value < 0, -abs(reason.value)))
    return tuple(
        WhyRow(reason_words(reason), reason_short(reason), reason.value, reason.value / best) for reason in ordered
    )


class WhyDelegate(LineDelegate[WhyRow]):
    """Writes reason and value over a bar as long as its part."""

    margin = False

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Returns one pitch, half the width where there is room for two columns."""
        view = self.parent()
        width = view.viewport().width() if isinstance(view, QListView) else 400
        columns = 2 if width >= self.theme.look.metrics.body * 36 else 1
        return QSize(width // columns, self.theme.look.metrics.pitch)

    def line(self, ink: Ink, row: WhyRow, rect: QRectF) -> None:
        """Writes a row."""
        look, pad = ink.look, ink.look.metrics.pad + 2
        left, right, bottom = rect.left() + pad, rect.right() - pad, rect.bottom() - 2
        against = row.value < 0
        used = ink.text(right, rect.top(), f"{row.value:+.2f}" if against else f"{row.value:.2f}",
                        look.font("small", figures=True), "danger" if against else "ink2", align="right",
                        height=rect.height() - 3)  # fmt: skip
        words = row.words if rect.width() > look.metrics.body * 36 else row.short
        ink.text(left, rect.top(), words[:1].upper() + words[1:], look.font("small"), "danger" if against else "ink",
                 height=rect.height() - 3, room=right - left - used - 10)  # fmt: skip
        if against:
            ink.dashes(left, left + (right - left) * -row.share, bottom - 1, "danger")
        else:
            ink.fill(left, bottom - 2, max(4.0, (right - left) * row.share), 3, "accent")


class WhyList(Lines):
    """The reasons at their full height, in one or two columns."""

    def __init__(self, theme: Theme) -> None:
        self.lines = LinesModel[WhyRow](WhyRow.spoken)
        super().__init__(theme, _("Why it matched"), margin=False)
        self.lines.setParent(self)
        self.setModel(self.lines)
        self.setItemDelegate(WhyDelegate(theme, self))
        self.setFlow(QListView.Flow.LeftToRight)
        self.setWrapping(True)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setSelectionMode(QListView.SelectionMode.NoSelection)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.theme.changed.connect(self._fit)

    def show_hit(self, hit: Hit) -> None:
        """Shows the reasons of another hit."""
        self.lines.replace(why_rows(hit))
        self._fit()

    def _fit(self) -> None:
        count = self.lines.rowCount()
        first = self.itemDelegate().sizeHint(QStyleOptionViewItem(), self.lines.index(0, 0))
        columns = max(1, self.viewport().width() // max(1, first.width()))
        self.setFixedHeight(max(1, -(-count // columns) * first.height()) + 4)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Takes one or two columns at the new width."""
        super().resizeEvent(event)
        self._fit()
