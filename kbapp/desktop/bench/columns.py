"""Where the columns of the Bench stand: side by side where there is room, else one below the other."""

from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QSizePolicy

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _

_WIDE: Final = 62
"""From how many times the type size on the columns stand side by side."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Left edges of the columns in pixels; ``end`` is the right edge of the last."""

    case: float
    stands: float
    next: float
    days: float
    mark: float
    end: float


def columns(look: Look, width: float, mark: float) -> Columns | None:
    """Returns the columns at a width (``mark``: what the widest stamp takes), None where they have no room."""
    metrics = look.metrics
    if width < metrics.body * _WIDE:
        return None
    left = metrics.margin + 4.0
    days = look.measure(look.font("small", 600)).horizontalAdvance(_("Days")) + metrics.pad * 2
    end = width
    first = end - mark - metrics.pad * 2.0
    room = first - days - left
    return Columns(left, left + room * 0.4, left + room * 0.7, first - days, first, end)


class ColumnsHead(Painted):
    """The names of the columns; hidden where they are stacked."""

    def __init__(self, theme: Theme) -> None:
        self._columns: Columns | None = None
        self._wanted, self._visits = True, False
        super().__init__(theme)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(_("Columns"))

    def show_columns(self, found: Columns | None) -> None:
        """Takes over where the columns stand."""
        self._columns = found
        self._show()

    def show_for(self, *, lines: bool, visits: bool) -> None:
        """Names the columns of the Bench or of earlier visits; without any line there is nothing to name."""
        self._wanted, self._visits = lines, visits
        self._show()

    def _show(self) -> None:
        self.setVisible(self._wanted and self._columns is not None)
        self.update()

    def relook(self) -> None:
        """Takes over the height."""
        self.setFixedHeight(self.look.pitches(1.35))
        self.update()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes the pane wider."""
        return QSize(200, self.height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the names."""
        ink.fill(0, 0, width, height, "band")
        at = self._columns
        if at is None:
            return
        font, pad = self.look.font("small", 600), self.look.metrics.pad
        for left, name in (
            (at.case, _("Vehicle and concern")), (at.stands, _("Where it stands")),
            (at.next, _("What agrees") if self._visits else _("Next")), (at.mark, _("Mark")),
        ):  # fmt: skip
            ink.text(left + pad, 0, name, font, "ink2", height=height)
        days = "" if self._visits else _("Days")
        ink.text(at.mark - pad, 0, days, font, "ink2", height=height, align="right")
        ink.across(0, width, height - 1, "rule_strong")
