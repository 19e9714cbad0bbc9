"""The notes as they are read: Markdown, cleaned, beside what is typed."""

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.forms.field_grid import FieldGrid
from kbapp.desktop.markdown import safe_html
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.desktop.widgets.page_text import PageText
from kbapp.i18n import _

PREVIEW_MS = 250


class NotesPreview(QWidget):
    """A button that shows the notes as they are read, and follows what is typed while it is open."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._edit: RuledEdit | None = None
        self.button = Button(theme, _("Show the notes as they are read"), "quiet", "finding")
        self.button.setCheckable(True)
        self.button.toggled.connect(self._toggle)
        self.page = PageText(theme, _("Notes as they are read"))
        self.page.hide()
        grid = FieldGrid(theme, (), most=1)
        grid.layout().addWidget(self.button)  # type: ignore[union-attr]
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(grid)
        column.addWidget(self.page)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PREVIEW_MS)
        self._timer.timeout.connect(self._render)

    def follow(self, edit: RuledEdit) -> None:
        """Shows what stands in a field."""
        self._edit = edit
        edit.textChanged.connect(lambda: self._timer.start() if self.button.isChecked() else None)

    def _toggle(self, on: bool) -> None:  # noqa: FBT001 - the signal's argument
        self.page.setVisible(on)
        if on:
            self._render()

    def _render(self) -> None:
        if self._edit is not None and self.button.isChecked():
            self.page.show_html(safe_html(self._edit.toPlainText()) or f"<p>{_('Nothing is written yet.')}</p>")
