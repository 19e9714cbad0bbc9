"""What was brought in before, each import to be taken out again as one."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import Inset
from kbapp.desktop.forms.full_lines import title_list
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _, ngettext
from kbapp.wording.case_words import moment_words

if TYPE_CHECKING:
    from kbapp.store.values import Batch


class BatchList(QWidget):
    """``undo_wanted`` with the id of an import."""

    undo_wanted = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._batches: tuple[Batch, ...] = ()
        self.head = SectionHead(theme, _("Brought in before"))
        self.list = title_list(theme, _("Imports"))
        self.list.picked.connect(lambda _row: self._enable())
        self.undo_button = Button(theme, _("Take this import out again"), "danger")
        self.undo_button.clicked.connect(self._undo)
        box = FlowBox()
        box.put((self.undo_button,))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.head, self.list, Inset(theme, box)):
            column.addWidget(widget)

    def show_batches(self, batches: "Sequence[Batch]") -> None:
        """Shows the imports, the latest first."""
        self._batches = tuple(batch for batch in batches if batch.title == "import")
        self.list.show_rows([TitleLine(batch.id, *_words(batch), "folder") for batch in self._batches])
        self.setVisible(bool(self._batches))
        self._enable()

    def _current(self) -> "Batch | None":
        at = max(self.list.currentIndex().row(), 0)
        return self._batches[at] if at < len(self._batches) else None

    def _enable(self) -> None:
        batch = self._current()
        self.undo_button.setEnabled(batch is not None and batch.undone_at is None)

    def _undo(self) -> None:
        batch = self._current()
        if batch is not None:
            self.undo_wanted.emit(batch.id)


def _words(batch: "Batch") -> tuple[str, str]:
    count = ngettext("{n} case", "{n} cases", batch.count).format(n=batch.count)
    title = ", ".join(filter(None, (_moment(batch.at), count, batch.author)))
    return title, _("taken out again {when}").format(when=_moment(batch.undone_at)) if batch.undone_at else ""


def _moment(at: str) -> str:
    return moment_words(datetime.fromisoformat(at).astimezone().isoformat(timespec="seconds"))
