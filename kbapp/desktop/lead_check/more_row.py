"""What else can be done with a case: a row of buttons below its head."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from PySide6.QtWidgets import QVBoxLayout

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.paper import Paper
from kbapp.i18n import _

if TYPE_CHECKING:
    from kbapp.desktop.lead_check.screen import LeadCheckScreen
    from kbapp.records.case import Case

AFTER: Final = ("repaired", "proved")
"""The states in which a vehicle can come back and follow-ups are asked."""


class MoreRow(Paper):
    """What else can be done with the case, as a row of buttons."""

    def __init__(self, screen: "LeadCheckScreen") -> None:
        self._box = FlowBox()
        super().__init__(screen.context.theme)
        self._screen = screen
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 4, 8, 6)
        column.addWidget(self._box)
        self.setAccessibleName(_("What can be done"))

    def show_for(self, case: "Case") -> None:
        """Shows what can be done in the state of a case."""
        screen, go = self._screen, self._screen.context.go
        after = case.state in AFTER
        open_asked = any(one.done is None for one in case.follow_ups)
        made = [
            (after, _("Retest"), "test", lambda: go("retest", case.id)),
            (after and open_asked, _("Follow-up"), "clock", screen.open_follow_up),
            (after, _("Came back"), "back", screen.open_comeback),
            (True, _("Correct"), "note", screen.open_correct),
            (case.state != "withdrawn", _("Same job"), "copy", screen.open_same),
            (case.state != "withdrawn", _("Withdraw"), "x", screen.open_withdraw),
            (True, _("History"), "clock", lambda: go("history", case.id)),
            (True, _("Sheet"), "sheet", lambda: go("sheet", case.id)),
        ]  # fmt: skip
        self._box.put([self._button(words, icon, run) for shown, words, icon, run in made if shown])

    def _button(self, words: str, icon: str, run: Callable[[], object]) -> Button:
        button = Button(self._screen.context.theme, words, "quiet", icon)
        button.clicked.connect(lambda _on=False: run())
        return button
