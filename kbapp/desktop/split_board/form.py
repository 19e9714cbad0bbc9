"""What every form of the board has: a page, a foot of buttons, a draft of what is typed, and an entry it makes."""

from dataclasses import dataclass, field

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.split_board.button_row import ButtonRow
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Painted
from kbapp.isolation.advice import Advice
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import TimelineEntry

NEW = "new"
"""The id of a line that is not recorded yet."""


@dataclass(frozen=True, slots=True, eq=False)
class FormScene:
    """What a form knows of the case: its map, the advice on it (None while it is on its way), money and kit."""

    case: Case
    section_map: SectionMap | None = None
    advice: Advice | None = None
    currency: str = ""
    nested: tuple[SectionMap, ...] = field(default=())


class Form(Painted):
    """A form on the page. ``written`` is sent with every key, ``ready`` with an entry to record, ``refused`` in words.

    ``foot`` holds the buttons that record; it stays in sight while the page scrolls.
    """

    kind = ""
    written = Signal()
    ready = Signal(object)
    refused = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self.scene: FormScene | None = None
        self.correcting: TimelineEntry | None = None
        self.foot = ButtonRow(theme, (), "band")
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(2)

    def show_scene(self, scene: FormScene) -> None:
        """Takes over another state of the case; what is typed stays."""
        self.scene = scene

    def begin(self, entry: TimelineEntry | None) -> None:
        """Empties the form, or fills it with a line that is to be corrected."""
        self.correcting = entry

    def first(self) -> QWidget:
        """Returns the control the keyboard starts at."""
        return self

    def to_draft(self) -> dict[str, object]:
        """Returns what is typed, as plain values; nothing where the form is untouched."""
        return {}

    def from_draft(self, kept: dict[str, object]) -> None:
        """Shows what was typed before."""

    def submit(self) -> None:
        """Records by the form's own default (Ctrl+Enter)."""

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the page."""
        ink.fill(0, 0, width, height, "page")
