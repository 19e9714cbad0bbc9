"""A plain page to lay controls on."""

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.widgets.themed import Painted


class Paper(Painted):
    """Paints nothing but the page."""

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the page."""
        ink.fill(0, 0, width, height, "page")
