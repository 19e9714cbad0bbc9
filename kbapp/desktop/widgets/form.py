"""Rows of a form: what it is at the left, the control at the right, a remark or what is wrong below the control."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QSpacerItem, QWidget

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.themed import Themed


class FormRow(QWidget, Themed):
    """A label, a control and a line below it."""

    def __init__(self, theme: Theme, label: str, control: QWidget, remark: str = "") -> None:
        super().__init__()
        self._remark = remark
        self.label = TextLabel(theme, label, weight=500, wrap=True)
        self.below = TextLabel(theme, remark, "small", "ink2", wrap=True)
        self.control = control
        self._grid = QGridLayout(self)
        self._grid.addWidget(self.label, 0, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(control, 0, 1)
        self._grid.addWidget(self.below, 1, 1, 1, 2)
        self._grid.setColumnStretch(1, 1)
        self._grid.setVerticalSpacing(2)
        self.below.setVisible(bool(remark))
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over margins and the width of the labels."""
        metrics = self.look.metrics
        self._grid.setContentsMargins(metrics.pad + 4, metrics.pad, metrics.pad + 4, metrics.pad)
        self._grid.setHorizontalSpacing(metrics.pad * 2)
        self.label.setFixedWidth(round(metrics.body * 14))
        self.label.setMinimumHeight(metrics.row)

    def say_wrong(self, words: str) -> None:
        """Says what is wrong with what was entered; blank: nothing is."""
        self.below.setText(words or self._remark)
        self.below.set_ink("danger" if words else "ink2")
        self.below.setVisible(bool(words or self._remark))
        self.control.setProperty("bad", bool(words))
        self.control.style().unpolish(self.control)
        self.control.style().polish(self.control)


class EntryRow(FormRow):
    """A row with a field. ``entered`` is sent with its text on Enter and when the focus leaves a changed field."""

    entered = Signal(str)

    def __init__(self, theme: Theme, label: str, remark: str = "") -> None:
        self.edit = ValueEdit(theme, label)
        self._sent = ""
        super().__init__(theme, label, self.edit, remark)
        self._grid.addItem(QSpacerItem(0, 0, QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum), 0, 2)
        self._grid.setColumnStretch(1, 20)
        self._grid.setColumnStretch(2, 1)
        self.edit.editingFinished.connect(self._finished)

    def relook(self) -> None:
        """Keeps the field as wide as what is meant to stand in it."""
        super().relook()
        self.edit.setMaximumWidth(round(self.look.metrics.body * 34))

    def put(self, text: str) -> None:
        """Writes a value that is in force."""
        self._sent = text
        self.edit.setText(text)
        self.say_wrong("")

    def _finished(self) -> None:
        if self.edit.text() != self._sent:
            self._sent = self.edit.text()
            self.entered.emit(self._sent)
