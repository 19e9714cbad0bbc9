"""Labels: plain text in a role of type and ink, and heads that are elided instead of widening a window."""

from typing import Literal

from PySide6.QtCore import QSize
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import FontRole, Role
from kbapp.desktop.widgets.themed import Painted, Themed

Face = Literal["text", "slab", "mono"]


def face_font(look: Look, face: Face, role: FontRole, weight: int) -> QFont:
    """Returns the font of a face, role and weight (slab has one weight)."""
    if face == "slab":
        return look.slab(role)
    return look.mono(role, weight) if face == "mono" else look.font(role, weight, figures=True)


class TextLabel(QLabel, Themed):
    """A label in one role of type and one ink; ``wrap`` lets it grow downwards."""

    def __init__(
        self,
        theme: Theme,
        text: str = "",
        role: FontRole = "body",
        ink: Role = "ink",
        *,
        weight: int = 400,
        wrap: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(text, parent)
        self._role: FontRole = role
        self._weight = weight
        self.setProperty("ink", ink)
        self.setWordWrap(wrap)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over the font."""
        self.setFont(self.look.font(self._role, self._weight, figures=True))

    def set_ink(self, ink: Role) -> None:
        """Changes the ink."""
        self.setProperty("ink", ink)
        self.style().unpolish(self)
        self.style().polish(self)


class ElideLabel(Painted):
    """One line that is cut with an ellipsis where room is short; tip and accessible name hold all of it."""

    def __init__(
        self, theme: Theme, text: str, role: FontRole, ink: Role = "ink", *, face: Face = "text", weight: int = 400
    ) -> None:
        self._text, self._face, self._role, self._weight = text, face, role, weight
        self._ink: Role = ink
        super().__init__(theme)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.set_text(text)

    def text(self) -> str:
        """Returns the whole text."""
        return self._text

    def set_text(self, text: str) -> None:
        """Changes the text."""
        self._text = text
        self.setToolTip(text)
        self.setAccessibleName(text)
        self.updateGeometry()
        self.update()

    def relook(self) -> None:
        """Takes over the font."""
        self._font = face_font(self.look, self._face, self._role, self._weight)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Returns the size of the whole text."""
        measure = self.look.measure(self._font)
        return QSize(round(measure.horizontalAdvance(self._text)) + 2, round(measure.height()))

    def minimumSizeHint(self) -> QSize:
        """Returns a width that never pushes a window wider."""
        return QSize(60, self.sizeHint().height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the line."""
        ink.text(0, 0, self._text, self._font, self._ink, height=height, room=width)
