"""The cautions of a case's system: one line in sight, all of them a press away."""

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _
from kbapp.wording.cautions import caution, cautions_for_system


def caution_texts(system: str | None) -> tuple[str, ...]:
    """Returns the cautions of a system, its own before the general one; none for an unknown system."""
    names = cautions_for_system(system) if system else ()
    own = [name for name in names if name != "maker_procedure"]
    return tuple(caution(name) for name in (*own, *(name for name in names if name == "maker_procedure")))


class CautionsBand(Painted):
    """Painted on the caution wash; unfolds to every caution of the system."""

    def __init__(self, theme: Theme) -> None:
        self._texts: tuple[str, ...] = ()
        self._unfolded = False
        self.all_button = Button(theme, "", "quiet")
        super().__init__(theme)
        self.all_button.setParent(self)
        self.all_button.clicked.connect(self._toggle)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_system(self, system: str | None) -> None:
        """Shows the cautions of another system."""
        self._texts, self._unfolded = caution_texts(system), False
        self.setVisible(bool(self._texts))
        self.setAccessibleName(_("Cautions"))
        self.setAccessibleDescription("\n".join(self._texts))
        self.relook()

    def texts(self) -> tuple[str, ...]:
        """Returns the cautions in sight."""
        return self._texts if self._unfolded else self._texts[:1]

    def _toggle(self) -> None:
        self._unfolded = not self._unfolded
        self.relook()

    def relook(self) -> None:
        """Takes over fonts, words of the button and height."""
        if not hasattr(self, "all_button"):
            return
        more = _("Fewer cautions") if self._unfolded else _("All {n} cautions").format(n=len(self._texts))
        self.all_button.setText(more)
        self.all_button.setVisible(len(self._texts) > 1)
        self._fit()
        self.update()

    def _lines(self) -> tuple[tuple[str, ...], ...]:
        room = self.width() - self._left() - self.look.metrics.pad
        if not self._unfolded and len(self._texts) > 1:
            room -= self.all_button.sizeHint().width()
        return tuple(wrap(self.look, text, self.look.font("small"), room) for text in self.texts())

    def _left(self) -> int:
        metrics = self.look.metrics
        return metrics.pad + metrics.icon + 10

    def _fit(self) -> None:
        metrics = self.look.metrics
        button = self.all_button.sizeHint()
        words = sum(len(lines) for lines in self._lines()) * metrics.pitch
        height = max(words + 4, metrics.row) + (metrics.row if self._unfolded else 0)
        top = height - metrics.row if self._unfolded else 0
        self.all_button.setGeometry(max(0, self.width() - button.width()), top, button.width(), metrics.row)
        if self.height() != height:
            self.setFixedHeight(height)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Breaks the lines anew."""
        super().resizeEvent(event)
        self._fit()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes the pane wider."""
        return QSize(200, self.height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the cautions."""
        metrics = self.look.metrics
        ink.fill(0, 0, width, height, "caution_wash")
        ink.fill(0, 0, 4, height, "caution")
        lines = self._lines()
        words = sum(len(block) for block in lines) * metrics.pitch
        top = (metrics.row - words) / 2 if not self._unfolded and words < metrics.row else 2.0
        for block in lines:
            ink.icon(metrics.pad + 2, top + metrics.pitch / 2, "guard", "caution", metrics.icon * 0.9)
            for line in block:
                ink.text(self._left(), top, line, self.look.font("small"), height=metrics.pitch)
                top += metrics.pitch
