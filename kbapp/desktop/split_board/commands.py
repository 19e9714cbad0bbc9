"""The commands of the board that stand in its menu and on keys."""

from collections.abc import Callable, Mapping

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from kbapp.desktop.keys import action
from kbapp.i18n import _

BOARD_KEYS = (
    "board-test", "board-part", "board-finding", "board-service", "board-note", "board-repaired", "board-map",
    "board-look", "board-attach", "board-guard", "board-cases",
)  # fmt: skip


class BoardMenu(QMenu):
    """Everything that can be done with the case, each with its key."""

    def __init__(self, screen: QWidget, handlers: Mapping[str, Callable[[], object]]) -> None:
        super().__init__(screen)
        self.commands: dict[str, QAction] = {}
        self.setAccessibleName(_("What to do with the case"))
        for n, name in enumerate(BOARD_KEYS):
            if n == 6:
                self.addSeparator()
            self.commands[name] = action(name, screen, handlers[name])
            self.addAction(self.commands[name])

    def allow(self, *, case: bool) -> None:
        """Offers what needs a case only while there is one."""
        for command in self.commands.values():
            command.setEnabled(case)
