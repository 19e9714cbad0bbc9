"""Push buttons: one primary a pane, plain, quiet (accent text), danger (outline)."""

from typing import Literal

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from kbapp.desktop.theme.icons import icon
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.themed import Themed

Kind = Literal["primary", "plain", "quiet", "danger"]
_ICON_ROLE: dict[Kind, Role] = {"primary": "on_accent", "plain": "ink", "quiet": "accent", "danger": "danger"}


class Button(QPushButton, Themed):
    """A button of one of four kinds, with an optional icon."""

    def __init__(
        self, theme: Theme, text: str, kind: Kind = "plain", icon_name: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(text, parent)
        self._kind: Kind = kind
        self._icon_name = icon_name
        self.setProperty("kind", kind)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over font and icon."""
        look = self.look
        self.setFont(look.font("body", 600 if self._kind == "primary" else 500))
        self.setMinimumWidth(look.metrics.row)
        if self._icon_name:
            # under a style sheet Qt sets icon and text too tight, so the air is part of the picture
            gap = round(look.metrics.icon * 0.3)
            self.setIcon(icon(look, self._icon_name, _ICON_ROLE[self._kind], gap=gap))
            self.setIconSize(QSize(look.metrics.icon + gap, look.metrics.icon))
