"""The buttons in the head of the board."""

from collections.abc import Callable, Mapping

from PySide6.QtCore import QObject

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import PageHead
from kbapp.i18n import _


class BoardHead(QObject):
    """Whole case, undo, redo, more, Look First, record; each calls its handler."""

    def __init__(self, theme: Theme, head: PageHead, handlers: Mapping[str, Callable[[], object]]) -> None:
        super().__init__(head)
        self.whole = Button(theme, _("Whole case"))
        self.undo = Button(theme, "", "quiet", "undo")
        self.redo = Button(theme, "", "quiet", "redo")
        self.more = Button(theme, _("More"), "plain", "menu")
        self.look = Button(theme, _("Look First with this case"), "plain", "look")
        self.record = Button(theme, _("Record a result"), "primary", "plus")
        for button, name in ((self.undo, _("Undo")), (self.redo, _("Redo"))):
            button.setAccessibleName(name)
            button.setToolTip(name)
        for name, button in self.buttons().items():
            button.clicked.connect(lambda _on=False, act=handlers[name]: act())
            head.add(button)

    def buttons(self) -> dict[str, Button]:
        """Returns the buttons by name, in their order."""
        return {
            "whole": self.whole, "undo": self.undo, "redo": self.redo, "more": self.more, "look": self.look,
            "record": self.record,
        }  # fmt: skip

    def stand(self, *, case: bool, board: bool, one_test: bool, across: bool, upright: bool) -> None:
        """Shows what fits: a case is in hand, its board is shown (or ``one_test``), across the bay, in little room."""
        for button in (self.undo, self.redo, self.more):
            button.setVisible(case)
        self.look.setVisible(case and not upright)
        self.whole.setVisible(case and across)
        self.whole.setText(_("Whole case") if one_test else _("One test"))
        self.record.setVisible(case and board and not across)
