"""The lines of Narrow by: a head that folds its group, and a value with its count to tick."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.theme.icons import draw_icon
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.themed import Themed
from kbapp.i18n import _, ngettext


class _FacetButton(QAbstractButton, Themed):
    def __init__(self, theme: Theme, text: str) -> None:
        super().__init__()
        self.setText(text)
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over the height."""
        self.setFixedHeight(self.look.metrics.row)
        self.update()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes the column wider."""
        return QSize(120, self.look.metrics.row)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the line."""
        painter = QPainter(self)
        self.draw(Ink(painter, self.look), self.width(), self.height())
        painter.end()

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints into an area of the given size."""
        raise NotImplementedError


class FacetHead(_FacetButton):
    """Names a field; pressed, it folds or unfolds its values."""

    def __init__(self, theme: Theme, text: str, *, unfolded: bool) -> None:
        super().__init__(theme, text)
        self.setChecked(unfolded)
        self.toggled.connect(self._name)
        self._name()

    def _name(self) -> None:
        words = _("{field}, unfolded") if self.isChecked() else _("{field}, folded")
        self.setAccessibleName(words.format(field=self.text()))

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints name and fold mark."""
        pad, side = self.look.metrics.pad, self.look.metrics.icon * 0.9
        ink.fill(0, 0, width, height, "band")
        ink.text(pad + 2, 0, self.text(), self.look.font("small", 600), height=height, room=width - side - 3 * pad)
        ink.icon(width - pad - side, height / 2, "down" if self.isChecked() else "forward", "ink2", side)
        ink.across(0, width, height - 1)


class FacetValue(_FacetButton):
    """One value with the count of matching cases; a count of zero stays but cannot be ticked."""

    def __init__(self, theme: Theme) -> None:
        self.value, self._count = "", 0
        super().__init__(theme, "")

    @property
    def count(self) -> int:
        """How many matching cases have this value."""
        return self._count

    def assign(self, value: str, label: str, count: int, *, on: bool) -> None:
        """Shows another value; a ticked one stays enabled at zero so that it can be unticked."""
        self.value, self._count = value, count
        self.blockSignals(True)
        self.setText(label)
        self.setChecked(on)
        self.blockSignals(False)
        self.setEnabled(count > 0 or on)
        words = ngettext("{label}, {count} case", "{label}, {count} cases", count).format(label=label, count=count)
        if words != self.accessibleName():
            self.setAccessibleName(words)
            self.setToolTip(words)
        self.update()

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints box, label and count."""
        look, pad, box = self.look, self.look.metrics.pad, self.look.metrics.icon * 0.86
        on, live = self.isChecked(), self.isEnabled()
        ink.fill(0, 0, width, height, "select" if on else "band" if self.isDown() else "page")
        square = QRectF(pad + 2, (height - box) / 2, box, box)
        edge = look.colour("accent" if on else "rule_strong" if live else "disabled")
        ink.painter.setPen(QPen(edge, 1.5, Qt.PenStyle.SolidLine if live else Qt.PenStyle.DashLine))
        ink.painter.setBrush(look.colour("accent" if on else "page"))
        ink.painter.drawRoundedRect(square, 2, 2)
        if on:
            draw_icon(ink.painter, "tick", square.adjusted(1, 1, -1, -1), look.colour("on_accent"), 3)
        weight = 600 if on else 400
        used = ink.text(width - pad, 0, str(self._count), look.mono("small", weight), "ink2" if live else "disabled",
                        align="right", height=height)  # fmt: skip
        left = pad + 2 + box + 8
        self._label(ink, left, width - left - used - pad - 6, height, "ink" if live else "disabled", weight)
        ink.across(0, width, height - 1)

    def _label(self, ink: Ink, left: float, room: float, height: int, role: Role, weight: int) -> None:
        look = self.look
        font = look.font("body", weight)
        if ink.width(self.text(), font) <= room:
            ink.text(left, 0, self.text(), font, role, height=height)
            return
        small = look.font("small", weight)
        first, *rest = wrap(look, self.text(), small, room)
        line = look.measure(small).height()
        top = (height - line * (2 if rest else 1)) / 2
        ink.text(left, top, first, small, role, room=room)
        if rest:
            ink.text(left, top + line, " ".join(rest), small, role, room=room)
