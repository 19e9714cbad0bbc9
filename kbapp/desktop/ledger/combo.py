"""A list of choices to unfold, each with a value of its own."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QSizePolicy, QStyledItemDelegate

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Themed


class Combo(QComboBox, Themed):
    """``chosen`` is sent with the value a person takes, not when the program sets one."""

    chosen = Signal(str)

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__()
        self.setItemDelegate(QStyledItemDelegate(self))  # lets the style sheet give the list its targets
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(12)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.activated.connect(lambda place: self.chosen.emit(str(self.itemData(place))))
        self.bind(theme)

    def relook(self) -> None:
        """Takes over font and width."""
        self.setFont(self.look.font("body"))
        self.setMaximumWidth(round(self.look.metrics.body * 34))

    def offer(self, items: Sequence[tuple[str, str]], value: str) -> None:
        """Offers choices (value, words) and shows the one in force."""
        self.blockSignals(True)
        self.clear()
        for key, words in items:
            self.addItem(words, key)
        self.setCurrentIndex(max(0, self.findData(value)))
        self.blockSignals(False)
