"""A field as it was and as it is."""

from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtWidgets import QListView, QStyleOptionViewItem

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.widgets.lines import Index, LineDelegate
from kbapp.i18n import _


@dataclass(frozen=True, slots=True)
class ChangedField:
    """A field's name, and its words before and after."""

    name: str
    before: str
    after: str

    def spoken(self) -> str:
        """Returns the change as it is read aloud."""
        return _("{field}: before {before}, now {after}").format(field=self.name, before=self.before, after=self.after)


class ChangedDelegate(LineDelegate[ChangedField]):
    """Writes name, before and after, each as long as it needs."""

    margin = False

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Returns the height the words need at the width of the list."""
        row: ChangedField = index.data(Qt.ItemDataRole.UserRole)
        view = self.parent()
        width = view.viewport().width() if isinstance(view, QListView) else 400
        before, after = self._broken(row, width)
        return QSize(100, self.theme.look.pitches(1 + len(before) + len(after)))

    def _label(self) -> float:
        small = self.theme.look.measure(self.theme.look.font("small"))
        return max(small.horizontalAdvance(_("Before")), small.horizontalAdvance(_("Now"))) + 14

    def _broken(self, row: ChangedField, width: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
        look = self.theme.look
        room = width - 2 * look.metrics.pad - 8 - self._label()
        return wrap(look, row.before, look.font("small"), room), wrap(look, row.after, look.font("small"), room)

    def line(self, ink: Ink, row: ChangedField, rect: QRectF) -> None:
        """Writes a row."""
        look, pitch = ink.look, ink.look.metrics.pitch
        left, top = rect.left() + look.metrics.pad + 4, rect.top()
        ink.text(left, top, row.name, look.font("body", 600), height=pitch)
        top += pitch
        before, after = self._broken(row, rect.width())
        for label, lines, role in ((_("Before"), before, "ink3"), (_("Now"), after, "ink")):
            ink.text(left, top, label, look.font("small"), "ink2", height=pitch)
            for words in lines:
                ink.text(left + self._label(), top, words, look.font("small"), role, height=pitch)  # type: ignore[arg-type]
                top += pitch
