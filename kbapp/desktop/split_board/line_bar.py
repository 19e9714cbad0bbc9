"""What can be done with the current line of the timeline, as buttons under it."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import N_, _
from kbapp.records.timeline import PartEntry, TestEntry, TimelineEntry
from kbapp.wording.terms import terms

ACTIONS = {
    "correct": N_("Correct the line"),
    "fit": N_("Fit it"),
    "remove": N_("Take the line out"),
    "repeat": N_("Run it again"),
    "guard": N_("What the guard says"),
    "files": N_("Its files"),
}


class LineBar(Painted):
    """``wanted(action)``: one of ``ACTIONS``; ``effect_wanted(effect)``: what fitting the part changed."""

    wanted = Signal(str)
    effect_wanted = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self.buttons: dict[str, Button] = {}
        self.effects: dict[str, Button] = {}
        self._row = FlowRow(4, self)
        for effect, label in terms("effect"):
            button = Button(theme, label, "plain")
            button.clicked.connect(lambda _on=False, e=effect: self.effect_wanted.emit(e))
            button.setAccessibleName(_("Since it was fitted: {effect}").format(effect=label))
            self.effects[effect] = button
            self._row.addWidget(button)
        for name, label in ACTIONS.items():
            button = Button(theme, _(label), "plain" if name == "fit" else "quiet")
            button.clicked.connect(lambda _on=False, n=name: self.wanted.emit(n))
            self.buttons[name] = button
            self._row.addWidget(button)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setAccessibleName(_("The current line"))
        self.hide()
        self.relook()

    def show_entry(self, entry: TimelineEntry | None, *, speaks: bool, card_open: bool, files: bool) -> None:
        """Shows what fits another line."""
        part = entry if isinstance(entry, PartEntry) else None
        asks = part is not None and part.stage == "fitted" and part.effect is None and not card_open
        for button in self.effects.values():
            button.setVisible(asks)
        self.buttons["fit"].setVisible(part is not None and part.stage == "planned" and not card_open)
        self.buttons["repeat"].setVisible(isinstance(entry, TestEntry))
        self.buttons["guard"].setVisible(speaks and not card_open)
        self.buttons["files"].setVisible(files)
        self.setVisible(entry is not None)
        self.updateGeometry()
        self._fit()

    def relook(self) -> None:
        """Takes over margins."""
        if hasattr(self, "_row"):
            self.setContentsMargins(self.look.metrics.pad, 3, self.look.metrics.pad, 3)
            self._fit()
        self.update()

    def _fit(self) -> None:
        self.setFixedHeight(self._row.heightForWidth(max(self.width() - 2 * self.look.metrics.pad, 120)) + 6)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Breaks the row anew."""
        super().resizeEvent(event)
        self._fit()

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints band and rule."""
        ink.fill(0, 0, width, height, "band")
        ink.across(0, width, 0, "rule_strong")
