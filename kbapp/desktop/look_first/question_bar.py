"""The question: one line to write, chips of conditions below, and the panel that adds one."""

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kbapp.desktop.look_first.condition_panel import ConditionPanel
from kbapp.desktop.look_first.conditions import Condition, Conditions
from kbapp.desktop.look_first.labels import chip_words
from kbapp.desktop.look_first.scan_panel import ScanPanel
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.chip import Chip
from kbapp.desktop.widgets.choice import ROOM_FOR_RING
from kbapp.desktop.widgets.fields import AskEdit
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _

TYPING_MS = 120


class QuestionBar(Painted):
    """``asked(typing)`` is sent a moment after the last key, and at once on Enter or when a condition changes."""

    asked = Signal(bool)

    def __init__(self, theme: Theme) -> None:
        self.conditions = Conditions()
        self.edit = AskEdit(theme, _("Question"), _("What does it do? In your own words, or a code"))
        self.look_button = Button(theme, _("Look"), "primary")
        self.add_button = Button(theme, _("Add a condition"), "quiet", "plus")
        self.report_button = Button(theme, _("Paste a scan report"), "quiet", "copy")
        self.panel = ConditionPanel(theme)
        self.report = ScanPanel(theme)
        self._chips: list[Chip] = []
        self._flow = FlowRow()
        self._column = QVBoxLayout()
        super().__init__(theme)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(TYPING_MS)
        self._timer.timeout.connect(lambda: self.asked.emit(True))
        self._lay_out()
        self.edit.textEdited.connect(lambda _text: self._timer.start())
        self.edit.returnPressed.connect(self.ask_now)
        self.look_button.clicked.connect(self.ask_now)
        self.add_button.clicked.connect(self.open_panel)
        self.panel.added.connect(self._add)
        self.panel.done.connect(self.close_panel)
        self.panel.hide()
        self.report_button.clicked.connect(self.open_report)
        self.report.confirmed.connect(self._add_codes)
        self.report.done.connect(self.close_report)
        self.report.hide()

    def _lay_out(self) -> None:
        line = QHBoxLayout()
        line.setSpacing(8)
        line.addWidget(self.edit, 1)
        line.addWidget(self.look_button)
        chips = QWidget()
        self._flow.setContentsMargins(*ROOM_FOR_RING)
        chips.setLayout(self._flow)
        self._flow.addWidget(self.add_button)
        self._flow.addWidget(self.report_button)
        self._column.addLayout(line)
        self._column.addWidget(chips)
        self._column.addWidget(self.panel)
        self._column.addWidget(self.report)
        self._column.setSpacing(3)
        self.setLayout(self._column)
        self.relook()

    def relook(self) -> None:
        """Takes over the margins."""
        pad = self.look.metrics.pad
        self._column.setContentsMargins(pad + 4, 7, pad, 7)

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the page behind."""
        ink.fill(0, 0, width, height, "page")

    def text(self) -> str:
        """Returns the text of the question."""
        return self.edit.text()

    def ask_now(self) -> None:
        """Asks the question as it is written."""
        self._timer.stop()
        self.asked.emit(False)

    def put(self, text: str, conditions: Conditions) -> None:
        """Writes another question and asks it."""
        self.edit.setText(text)
        self.set_conditions(conditions)
        self.ask_now()

    def set_conditions(self, conditions: Conditions) -> None:
        """Shows other conditions without asking."""
        self.conditions = conditions
        for chip in self._chips:
            self._flow.removeWidget(chip)
            chip.hide()
            chip.deleteLater()
        self._chips = [self._chip(item) for item in conditions.items]
        ends = (self.add_button, self.report_button)
        for button in ends:
            self._flow.removeWidget(button)
        for widget in (*self._chips, *ends):
            self._flow.addWidget(widget)
            widget.show()
        previous: QWidget = self.look_button
        for widget in (*self._chips, *ends):
            QWidget.setTabOrder(previous, widget)
            previous = widget

    def _chip(self, condition: Condition) -> Chip:
        chip = Chip(self.theme, *chip_words(condition))
        chip.clicked.connect(lambda: self._remove(condition))
        return chip

    def chips(self) -> tuple[Chip, ...]:
        """Returns the chips shown."""
        return tuple(self._chips)

    def _add(self, condition: Condition) -> None:
        self.set_conditions(self.conditions.having(condition))
        self.ask_now()

    def _remove(self, condition: Condition) -> None:
        place = self.conditions.items.index(condition)
        self.set_conditions(self.conditions.without(condition))
        after: QWidget = self._chips[min(place, len(self._chips) - 1)] if self._chips else self.add_button
        after.setFocus()
        self.ask_now()

    def _add_codes(self, codes: tuple[str, ...]) -> None:
        conditions = self.conditions
        for code in codes:
            conditions = conditions.having(Condition("code", code))
        self.set_conditions(conditions)
        self.ask_now()

    def open_report(self) -> None:
        """Shows the panel that takes a scan report."""
        self.panel.hide()
        self.report.open()

    def close_report(self) -> None:
        """Takes the panel of the scan report away."""
        self.report.hide()
        self.report_button.setFocus()

    def open_panel(self) -> None:
        """Shows the panel that adds a condition."""
        self.report.hide()
        self.panel.show()
        self.panel.value.setFocus()

    def close_panel(self) -> None:
        """Takes the panel away."""
        self.panel.hide()
        self.add_button.setFocus()
