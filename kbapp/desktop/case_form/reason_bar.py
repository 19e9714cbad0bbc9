"""Asks why a signed case is changed; what was changed waits until that is written."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout

from kbapp.app.desk import SHORTEST_REASON
from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.suggest_edit import LineEdit
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _


class ReasonBar(Painted):
    """``given`` with a reason; ``put_back`` to forget the change."""

    given = Signal(str)
    put_back = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        fact = _("This case is signed: a change needs a reason")
        hint = _("It is kept with the new version. Where the change touches what was proved, the lead signs again.")
        self.note = Note(theme, "seal", "caution", fact, hint)
        self.edit = LineEdit(theme, _("Why is it changed?"), _("such as: the part number was copied wrongly"))
        self.edit.go_on.connect(self._give)
        self.edit.textChanged.connect(lambda _text: self._enable())
        self.field = Labelled(theme, _("Why is it changed?"), self.edit, wide=True)
        self.record_button = Button(theme, _("Record the change"), "primary", "tick")
        self.back_button = Button(theme, _("Put it back as it was"), "quiet")
        self.record_button.clicked.connect(self._give)
        self.back_button.clicked.connect(self.put_back)
        row = FlowBox()
        row.put((self.record_button, self.back_button))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.note, FieldGrid(theme, [self.field], most=1), Inset(theme, row)):
            column.addWidget(widget)
        self._enable()
        self.hide()

    def ask(self) -> None:
        """Shows the question."""
        if self.isHidden():
            self.edit.put("")
            self.show()
        self._enable()

    def _enable(self) -> None:
        left = SHORTEST_REASON - len(self.edit.text().strip())
        self.record_button.setEnabled(left <= 0)
        self.field.say(_("at least {n} characters").format(n=SHORTEST_REASON) if left > 0 else "")

    def _give(self) -> None:
        if self.record_button.isEnabled():
            self.given.emit(self.edit.text().strip())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the page."""
        ink.fill(0, 0, width, height, "page")
